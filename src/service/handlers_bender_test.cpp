#include "service/service_test_util.h"

namespace bight::service {
namespace {

using test::Json;

class BenderTest : public test::ServiceTest {};

TEST_F(BenderTest, CheckOfZeroAndScale) {
  Json check = {{"date", "2026-05-20"}, {"angle_error", 0.1}, {"bends", Json::array()}};
  for (const double set_deg : {30.0, 90.0, 150.0}) {
    check["bends"].push_back({{"set", set_deg}, {"loaded", set_deg * 0.98 + 1.0}});
  }
  const Json log = {{"bender", "B1"}, {"check", Json::array({check})}};
  const Json answer = json(post("/bender/check", log));
  ASSERT_TRUE(answer.contains("checks")) << answer.dump();
  EXPECT_EQ(answer["checks"][0]["fitness"], "off");
  EXPECT_NEAR(answer["checks"][0]["angle"]["zero_deg"]["value"].get<double>(), 1.0, 1e-6);
  EXPECT_NEAR(answer["checks"][0]["angle"]["scale"]["value"].get<double>(), -0.02, 1e-6);
  EXPECT_EQ(code(post("/bender/check", Json::object())), "check.nothing");
  EXPECT_EQ(code(post("/bender/check", {{"check", 3}})), "key.type");
}

}  // namespace
}  // namespace bight::service

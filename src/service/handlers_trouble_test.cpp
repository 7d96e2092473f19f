#include "service/service_test_util.h"

namespace bight::service {
namespace {

using test::Json;

class TroubleTest : public test::ServiceTest {};

// One question after the other: the symptom, where, a change and what came of it.
TEST_F(TroubleTest, OneChangeAtATime) {
  const Json list = json(post("/trouble", Json::object()));
  ASSERT_GT(list["symptoms"].size(), 3u) << list.dump();
  EXPECT_TRUE(list["guide"].is_null());
  Json body = {{"symptom", "wrinkle"}, {"mandrel", true}, {"answers", Json::array()}};
  const Json where = json(post("/trouble", body))["guide"];
  EXPECT_EQ(where["question"], "where");
  body["answers"].push_back({{"question", "where"}, {"answer", "trailing"}});
  const Json change = json(post("/trouble", body))["guide"];
  ASSERT_FALSE(change["change"].is_null()) << change.dump();
  body["answers"].push_back({{"question", change["question"]}, {"answer", "gone"}});
  EXPECT_EQ(json(post("/trouble", body))["guide"]["solved"], true);
}

// What the die set has is taken from the plan unless it is said.
TEST_F(TroubleTest, ToolsOfThePlan) {
  furnish();
  const auto changes = [&](Json body) {
    body["symptom"] = "wrinkle";
    body["answers"] = Json::array({{{"question", "where"}, {"answer", "trailing"}}});
    return json(post("/trouble", body))["guide"]["change"];
  };
  const Json without = changes({{"mandrel", false}, {"wiper", false}});
  EXPECT_EQ(changes({{"part", test::rail()}}), without);
  EXPECT_EQ(changes({{"part", test::rail()}, {"mandrel", true}, {"wiper", true}}),
            changes({{"mandrel", true}, {"wiper", true}, {"wall_factor", 25.0 / 1.5}}));
}

TEST_F(TroubleTest, SaysWhatCannotBe) {
  EXPECT_EQ(code(post("/trouble", {{"symptom", "sofa"}})), "trouble.symptom");
  const Json answers = Json::array({{{"question", "where"}, {"answer", "nowhere"}}});
  EXPECT_EQ(code(post("/trouble", {{"symptom", "wrinkle"}, {"answers", answers}})),
            "trouble.answer");
  EXPECT_EQ(code(post("/trouble", {{"answers", answers}})), "trouble.symptom");
  EXPECT_EQ(code(post("/trouble", {{"wall_factor", -1}})), "key.value");
  EXPECT_EQ(code(post("/trouble", {{"symptoms", "wrinkle"}})), "request.part");
}

}  // namespace
}  // namespace bight::service

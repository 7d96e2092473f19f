#include "service/service_test_util.h"

namespace bight::service {
namespace {

using test::Json;

class SticksTest : public test::ServiceTest {
 protected:
  void SetUp() override {
    test::ServiceTest::SetUp();
    furnish();
  }
  Json sticks(Json more) {
    more["part"] = test::rail();
    return json(post("/sticks", more));
  }
};

TEST_F(SticksTest, FromTheRackAndToBuy) {
  const Json bare = sticks({{"pieces", 20}});
  EXPECT_TRUE(bare["rack"].empty()) << bare.dump();
  EXPECT_EQ(bare["stick_mm"], 6000.0);
  const int per_stick = bare["per_stick"];
  EXPECT_EQ(bare["to_buy"], (20 + per_stick - 1) / per_stick);
  const Json lies = {{"size", "25 x 1.5"}, {"material", "304L annealed"},
                     {"heat", "S118"},     {"length", 6000},
                     {"pieces", 2},        {"place", "rack 1"}};
  ASSERT_EQ(post("/records/tube", {{"document", lies}}).status, 201);
  Json other = lies;
  other["size"] = "30 x 1.5";
  ASSERT_EQ(post("/records/tube", {{"document", other}}).status, 201);
  const Json taken = sticks({{"pieces", 20}});
  ASSERT_EQ(taken["rack"].size(), 1u) << taken.dump();
  EXPECT_EQ(taken["rack"][0]["place"], "rack 1");
  EXPECT_EQ(taken["rack"][0]["taken"], 2);
  EXPECT_EQ(taken["rack"][0]["pieces"], 2 * per_stick);
  EXPECT_EQ(taken["to_buy"], (20 - 2 * per_stick + per_stick - 1) / per_stick);
  EXPECT_EQ(sticks({{"pieces", per_stick}})["to_buy"], 0);
}

TEST_F(SticksTest, LengthsAsTyped) {
  const Json said = sticks({{"stick", "20 ft"}, {"kerf", "1/8 in"}, {"units", "in"}});
  EXPECT_NEAR(said["stick_mm"], 6096.0, 1e-9);
  EXPECT_NEAR(said["kerf_mm"], 3.175, 1e-9);
  EXPECT_NEAR(sticks({{"units", "in"}})["stick_mm"], 6096.0, 1e-9);
}

TEST_F(SticksTest, SaysWhatCannotBe) {
  const auto refused = [&](Json more) {
    more["part"] = test::rail();
    return code(post("/sticks", more));
  };
  EXPECT_EQ(refused({{"pieces", -1}}), "sticks.number");
  EXPECT_EQ(refused({{"pieces", 0}}), "sticks.number");
  EXPECT_EQ(refused({{"stick", 0}}), "sticks.number");
  EXPECT_EQ(refused({{"stick", "long"}}), "length.text");
  EXPECT_EQ(code(post("/sticks", Json::object())), "request.part");
}

}  // namespace
}  // namespace bight::service

#include "planning/would_work.h"

#include <gtest/gtest.h>

#include <cmath>

#include "planning/sample_shop_test_util.h"

namespace bight::planning {
namespace {

using sample::row;

std::vector<part::Finding> named(const Plan& plan, const char* with) {
  std::vector<part::Finding> out;
  for (const part::Finding& finding : plan.findings) {
    if (finding.code == "order.would-work" && finding.message.starts_with(with)) {
      out.push_back(finding);
    }
  }
  return out;
}

Plan with_changes(const part::Part& part, const workshop::Shop& shop, PlanOptions options = {}) {
  options.changes = true;
  return *plan(part, shop, options);
}

bool works(const part::Part& part, const workshop::Shop& shop) {
  PlanOptions best;
  best.order.kind = OrderWish::Kind::kBest;
  const Plan made = *plan(part, shop, best);
  return !part::any_stop(made.findings);
}

// 40 mm between bends serve neither the clamp of 95 nor the tail of 110. By hand: the straight that
// the plan has left lacks 95 less its length, and is lengthened by that in whole millimetres.
TEST(WouldWork, LongerStraightIsTheLeast) {
  const workshop::Shop shop = sample::shop();
  const auto part = [](double straight_mm) {
    return sample::tube_part({row(400, 0, 45), row(straight_mm, 90, 45)}, 400);
  };
  const Plan stopped = with_changes(part(40), shop);
  ASSERT_NE(sample::find(stopped.findings, "plan.straight-below-clamp"), nullptr);
  EXPECT_TRUE(no_order_works(stopped));
  const std::vector<part::Finding> longer = named(stopped, "with straight 2 longer");
  ASSERT_EQ(longer.size(), 1u);
  const double least_mm = std::ceil(95.0 - stopped.bent_table.straight_mm(1));
  EXPECT_EQ(longer[0].numbers.at("change_mm"), least_mm);
  EXPECT_EQ(longer[0].severity, part::Severity::kNote);
  EXPECT_TRUE(works(part(40 + least_mm), shop));
  EXPECT_FALSE(works(part(40 + least_mm - 1), shop));
  // As two pieces each has one bend and all the straight it wants.
  EXPECT_EQ(named(stopped, "as two pieces joined in the middle of straight 2").size(), 1u);
}

// 88 mm are left of 90: too short for the clamp of 95, not for one of 30 at the same radius.
TEST(WouldWork, OtherDieWithAShorterClamp) {
  workshop::Shop shop = sample::shop();
  shop.die_sets.push_back(sample::die("D114S", 114.3, 38.1, 30, 110));
  PlanOptions options;
  options.wish.die = "D114";
  const Plan stopped =
      with_changes(sample::tube_part({row(400, 0, 45), row(90, 90, 45)}, 400), shop, options);
  ASSERT_TRUE(no_order_works(stopped));
  EXPECT_EQ(named(stopped, "in die D114S throughout").size(), 1u);
}

// A carriage works along the tube: from either end a leg of 1500 hangs under the tool. The stand
// that is named is enough, and one step lower is not; nor is the floor as it is.
TEST(WouldWork, HigherStandIsTheLeast) {
  workshop::Shop shop = sample::shop();
  shop.benders[0].kind = workshop::BenderKind::kCarriageFed;
  shop.benders[0].grip_mm = 60;
  shop.benders[0].direction = workshop::TurnDirection::kCounterClockwise;
  shop.benders[0].around.room.floor_mm = 1050;
  const part::Part part =
      sample::tube_part({row(1500, 0, 70), row(300, -90, 70), row(300, -90, 70)}, 1500);
  const Plan stopped = with_changes(part, shop);
  ASSERT_TRUE(no_order_works(stopped));
  const std::vector<part::Finding> higher = named(stopped, "with the bender");
  ASSERT_EQ(higher.size(), 1u);
  EXPECT_TRUE(named(stopped, "with straight").empty());  // not even one eaten up
  const double by_mm = higher[0].numbers.at("higher_mm");
  shop.benders[0].around.room.floor_mm = 1050 + by_mm;
  EXPECT_TRUE(works(part, shop));
  shop.benders[0].around.room.floor_mm = 1050 + by_mm - 10;
  EXPECT_FALSE(works(part, shop));
}

// A block where the tube lies: nothing helps, and what was tried is said.
TEST(WouldWork, NothingHelps) {
  workshop::Shop shop = sample::shop();
  workshop::Body block;
  block.name = "block";
  block.shape = workshop::BoxShape{{400, 400, 400}};
  block.at_mm = {0, 0, -200};
  shop.benders[0].around.bodies = {block};
  const Plan stopped =
      with_changes(sample::tube_part({row(400, 0, 45), row(300, 90, 45)}, 400), shop);
  const part::Finding* finding = sample::find(stopped.findings, "order.nothing-works");
  ASSERT_NE(finding, nullptr);
  EXPECT_NE(finding->message.find("the other dies"), std::string::npos) << finding->message;
  EXPECT_TRUE(named(stopped, "").empty());
}

// Where an order works nothing is changed.
TEST(WouldWork, NotAskedWhereAnOrderWorks) {
  const Plan made =
      with_changes(sample::tube_part({row(400, 0, 45), row(300, 90, 45)}, 400), sample::shop());
  EXPECT_FALSE(no_order_works(made));
  EXPECT_EQ(sample::find(made.findings, "order.would-work"), nullptr);
  EXPECT_EQ(sample::find(made.findings, "order.nothing-works"), nullptr);
}

}  // namespace
}  // namespace bight::planning

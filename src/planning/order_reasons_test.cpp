#include "planning/order_reasons.h"

#include <gtest/gtest.h>

#include "planning/planner.h"
#include "planning/sample_shop_test_util.h"

namespace bight::planning {
namespace {

using sample::row;

// Each thing that is counted, alone, in the order in which it counts.
TEST(OrderReasons, DrawbackNamesTheWeightiestThing) {
  const base::LengthStyle mm;
  WorkOrder ahead, behind;
  ahead.low_mm = 82.0;
  behind.low_mm = 12.04;
  EXPECT_EQ(drawback(ahead, behind, mm), "");
  behind.cost.other_end = 1;
  EXPECT_EQ(drawback(ahead, behind, mm), "the other end goes ahead first");
  behind.cost.outward = 1;
  EXPECT_EQ(drawback(ahead, behind, mm),
            "more bends near an end are made before those in the middle");
  behind.cost.unmeasured = 2;
  EXPECT_EQ(drawback(ahead, behind, mm), "2 bends more cannot be reached by a tape when made");
  behind.cost.handling = 1;
  EXPECT_EQ(drawback(ahead, behind, mm), "the tube is turned and carried more");
  behind.cost.die_changes = 1;
  EXPECT_EQ(drawback(ahead, behind, mm), "needs one change of die more");
  behind.cost.flips = 2;
  EXPECT_EQ(drawback(ahead, behind, mm), "needs 2 turns end for end more");
  behind.cost.margin_class = 2;
  EXPECT_EQ(drawback(ahead, behind, mm), "passes nearer: 12.0 mm instead of 82.0 mm");
  behind.cost.stops = 1;
  EXPECT_EQ(drawback(ahead, behind, mm), "one step cannot be made so");
}

// The drawing order hits the floor and stands last, the one taken first; all say how they go.
TEST(OrderReasons, RankedByWhatTheyCost) {
  workshop::Shop shop = sample::shop();
  shop.benders[0].direction = workshop::TurnDirection::kCounterClockwise;
  shop.benders[0].around.room.floor_mm = 1050;
  const part::Part leg = sample::tube_part({row(1330, 0, 60), row(300, -90, 30)}, 300);
  PlanOptions options;
  options.alternatives = true;
  const std::vector<RankedOrder> orders = ranked(*plan(leg, shop, options), End::kA, {});
  ASSERT_GE(orders.size(), 2u);
  EXPECT_TRUE(orders.front().taken);
  EXPECT_TRUE(orders.front().order.best);
  EXPECT_EQ(orders.front().reasons.back(), "no other order is better: all were looked at");
  EXPECT_TRUE(orders.back().drawn);
  EXPECT_TRUE(orders.back().reasons.front().starts_with("hits the floor by"));
  EXPECT_EQ(orders.back().reasons[1], "as drawn");
  EXPECT_EQ(orders.back().reasons[2], "behind the one before because: one step cannot be made so");
  for (std::size_t i = 1; i < orders.size(); ++i) {
    EXPECT_FALSE(orders[i].taken);
    EXPECT_FALSE(orders[i].order.cost < orders[i - 1].order.cost);
  }
  // Kept against its stop it is ranked where it belongs.
  options.order.kind = OrderWish::Kind::kDrawn;
  EXPECT_TRUE(ranked(*plan(leg, shop, options), End::kA, {}).back().taken);
}

}  // namespace
}  // namespace bight::planning

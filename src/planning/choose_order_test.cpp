#include "planning/choose_order.h"

#include <gtest/gtest.h>

#include <cmath>

#include "clearance/movement.h"
#include "planning/clearing.h"
#include "planning/planner.h"
#include "planning/sample_shop_test_util.h"

namespace bight::planning {
namespace {

using base::Angle;
using sample::find;
using sample::row;

// A head that turns counter-clockwise over a floor; nothing else stands about.
workshop::Shop shop(double floor_mm) {
  workshop::Shop s = sample::shop();
  s.benders[0].direction = workshop::TurnDirection::kCounterClockwise;
  s.benders[0].around.room.floor_mm = floor_mm;
  s.trials = {sample::trial(20, 18.2), sample::trial(120, 114.4)};
  return s;
}

// A 1400 mm leg that hangs 60° down when bend 2 is made after it.
part::Part leg_part() { return sample::tube_part({row(1330, 0, 60), row(300, -90, 30)}, 300); }

PlanOptions wish(const char* order, bool alternatives = false) {
  PlanOptions options;
  options.order = *parse_order_wish(order);
  options.alternatives = alternatives;
  return options;
}

// Floor swing of the trade: 1400 mm of leg 60° down, die 1050 above the floor: into the floor by
// 1400 sin 60° - 1050 = 162 and the rim (common practice, no source; the figure itself is checked
// in ordering/best_order_test.cpp). The drawing order gives way to the other end, and it is said.
TEST(ChooseOrder, DrawingOrderGivesWayToOneThatWorks) {
  const Plan made = *plan(leg_part(), shop(1050));
  EXPECT_FALSE(part::any_stop(made.findings));
  EXPECT_TRUE(made.order.works());
  EXPECT_TRUE(made.order.compared);
  EXPECT_NE(text(made.order.bends), "1A,2A");
  EXPECT_EQ(made.steps.size(), 2u);
  EXPECT_GE(*made.order.low_mm, 20);
  const part::Finding* changed = find(made.findings, "order.changed");
  ASSERT_NE(changed, nullptr);
  EXPECT_NE(changed->message.find("hits the floor by"), std::string::npos) << changed->message;
  ASSERT_FALSE(made.alternatives.empty());
  const bool drawn_named =
      std::any_of(made.alternatives.begin(), made.alternatives.end(),
                  [](const WorkOrder& o) { return text(o.bends) == "1A,2A" && !o.works(); });
  EXPECT_TRUE(drawn_named);
  EXPECT_NE(find(made.findings, "order.not-compared"), nullptr);  // sag
}

// Kept against its stop: the hit is told with the order that would do, and everything else stays.
TEST(ChooseOrder, KeptOrderTellsWhatItHits) {
  const Plan made = *plan(leg_part(), shop(1050), wish("keep"));
  EXPECT_EQ(text(made.order.bends), "1A,2A");
  EXPECT_EQ(made.order.num_stops, 1u);
  const part::Finding* hit = find(made.findings, "order.hit");
  ASSERT_NE(hit, nullptr);
  EXPECT_EQ(hit->severity, part::Severity::kStop);
  EXPECT_EQ(hit->bend, 2u);
  EXPECT_NE(hit->message.find("the floor"), std::string::npos);
  EXPECT_TRUE(hit->remedy.starts_with("take another order: ")) << hit->remedy;
  ASSERT_TRUE(made.steps[1].clearing.has_value());
  EXPECT_TRUE(made.steps[1].clearing->stops());
  EXPECT_EQ(made.steps[1].clearing->nearest()->body, "floor");
}

// Where the drawing order works it is kept, and nobody searches unless asked to.
TEST(ChooseOrder, DrawingOrderIsKeptWhereItWorks) {
  const Plan made = *plan(leg_part(), shop(3000));
  EXPECT_EQ(text(made.order.bends), "1A,2A");
  EXPECT_EQ(find(made.findings, "order.changed"), nullptr);
  EXPECT_TRUE(made.alternatives.empty());
  const Plan asked = *plan(leg_part(), shop(3000), wish("auto", true));
  EXPECT_EQ(text(asked.order.bends), "1A,2A");
  EXPECT_FALSE(asked.alternatives.empty());
}

// A bender of which nothing is known: nothing is compared and nothing is said.
TEST(ChooseOrder, UnknownSurroundingsChangeNothing) {
  const Plan made = *plan(leg_part(), sample::shop());
  EXPECT_EQ(text(made.order.bends), "1A,2A");
  EXPECT_FALSE(made.order.compared);
  EXPECT_FALSE(made.steps[0].clearing.has_value());
  for (const part::Finding& finding : made.findings) {
    EXPECT_FALSE(finding.code.starts_with("order.")) << finding.code;
  }
}

// 90 mm between the bends, less what the radius grows, is too short for the clamp of 95. With a
// tail of 60 it can stay behind the bend that is made last, and without a body the order that does
// so is named, not taken.
TEST(ChooseOrder, ShortStraightIsSolvedByAnotherOrder) {
  workshop::Shop s = sample::shop();
  s.die_sets[0].tail_mm = 60;
  const part::Part part = sample::tube_part({row(400, 0, 45), row(90, 90, 45)}, 400);
  const Plan kept = *plan(part, s);
  const part::Finding* stop = find(kept.findings, "plan.straight-below-clamp");
  ASSERT_NE(stop, nullptr);
  EXPECT_EQ(stop->bend, 2u);
  EXPECT_TRUE(stop->remedy.starts_with("take another order: ")) << stop->remedy;
  s.benders[0].around.room.floor_mm = 2000;
  const Plan changed = *plan(part, s);
  EXPECT_EQ(find(changed.findings, "plan.straight-below-clamp"), nullptr);
  EXPECT_TRUE(changed.order.works());
  EXPECT_NE(find(changed.findings, "order.changed"), nullptr);
}

// A given order is taken as it is; ends left open are chosen, and straights behind count too.
TEST(ChooseOrder, GivenOrder) {
  const part::Part part =
      sample::tube_part({row(300, 0, 90), row(250, 70, 60), row(200, -40, 30)}, 310);
  const Plan made = *plan(part, shop(2000), wish("2B,3B,1A"));
  EXPECT_EQ(text(made.order.bends), "2B,3B,1A");
  EXPECT_EQ(made.from, End::kB);
  EXPECT_EQ(made.blank.front, End::kB);
  EXPECT_EQ(made.order.num_flips, 1u);
  EXPECT_FALSE(made.steps[1].flipped);
  EXPECT_TRUE(made.steps[2].flipped);
  ASSERT_NE(find(made.findings, "order.flip"), nullptr);
  EXPECT_EQ(find(made.findings, "order.flip")->bend, 1u);
  // Marks run from end A of the blank to the side that is bent first.
  EXPECT_EQ(made.steps[0].side, MarkSide::kTowardsA);
  EXPECT_EQ(made.steps[2].side, MarkSide::kTowardsB);
  EXPECT_NEAR(made.steps[1].mark_mm - made.steps[0].mark_mm,
              made.bent_table.straight_mm(2) + made.steps[1].arc_mm, 1e-9);
  EXPECT_NEAR(made.steps[2].mark_mm + made.steps[2].arc_mm + made.bent_table.straight_mm(1) +
                  made.steps[0].arc_mm,
              made.steps[0].mark_mm, 1e-9);
  const Plan open = *plan(part, shop(2000), wish("2,3,1"));
  EXPECT_EQ(open.steps[0].bend, 2u);
  EXPECT_EQ(open.steps[2].bend, 1u);
  EXPECT_EQ(open.order.num_flips, 0u);
  const base::Result<Plan> wrong = plan(part, shop(2000), wish("2,3"));
  ASSERT_FALSE(wrong.ok());
  EXPECT_EQ(wrong.failure().code, "plan.order");
}

// The made bend's arc as a step's film first shows it, counted from end A.
geometry::Segment arc_of(const Clearing& c, std::size_t step, std::size_t bend) {
  const clearance::Moment first =
      clearance::movement(c.setup(step), c.tube, c.steps[step]).value().front();
  std::vector<geometry::Segment> arcs;
  for (const geometry::Segment& piece : first.tube) {
    if (piece.is_arc()) arcs.push_back(piece);
  }
  // The film runs from the tail to the front.
  if (c.steps[step].front == clearance::Front::kEndA) std::reverse(arcs.begin(), arcs.end());
  std::size_t at = 0;
  for (std::size_t i = 0; i < bend; ++i) at += (c.steps[step].made >> i) & 1u;
  return arcs[at];
}

// Rotations against the films of the steps, which know nothing of them: the tube as a step finds
// it, turned back about the feed by the printed rotation, lies flat on the bend that is named, with
// the inside of that bend towards the die. A head that turns counter-clockwise has it at +y.
TEST(ChooseOrder, RotationsLeadFromTheNamedBend) {
  const part::Part part = sample::tube_part(
      {row(300, 0, 50), row(250, 70, 60), row(200, -40, 30), row(260, 110, 45)}, 310);
  for (const bool flipped_sign : {false, true}) {
    for (const char* order :
         {"1A,2A,3A,4A", "4B,3B,2B,1B", "2A,4A,1A,3A", "2B,4A,3B,1A", "3A,1B,4B,2A"}) {
      workshop::Shop s = shop(5000);
      s.benders[0].rotation_sign_flipped = flipped_sign;
      const Plan made = *plan(part, s, wish(order));
      ASSERT_EQ(text(made.order.bends), order);
      const Clearing c = *clearing(made);
      for (std::size_t k = 1; k < 4; ++k) {
        const geometry::Segment arc = arc_of(c, k, *made.steps[k].rotation_from - 1);
        const Angle turn = flipped_sign ? -made.steps[k].rotation : made.steps[k].rotation;
        const Eigen::AngleAxisd back(-turn.rad(), geometry::Vec3::UnitX());
        const geometry::Vec3 normal = back * arc.start.normal;
        const geometry::Vec3 inward = back * arc.start.inward;
        EXPECT_NEAR(std::abs(normal.z()), 1.0, 1e-9) << order << " step " << k + 1;
        EXPECT_GT(inward.y(), 0.0) << order << " step " << k + 1;
      }
    }
  }
}

// The wheel goes on from the plane before, and starts again where the tube is turned end for end.
TEST(ChooseOrder, WheelStartsAgainAfterAFlip) {
  const part::Part part =
      sample::tube_part({row(300, 0, 50), row(250, 70, 60), row(200, -40, 30)}, 310);
  const Plan made = *plan(part, shop(5000), wish("1A,3A,2B"));
  EXPECT_NEAR(made.steps[1].rotation.deg(), 30, 1e-9);
  EXPECT_NEAR(made.steps[1].wheel.deg(), 30, 1e-9);
  // Bend 2 lies 40° on from bend 3 about the way from A, 40° back about the way from B.
  EXPECT_NEAR(made.steps[2].rotation.deg(), -40, 1e-9);
  EXPECT_NEAR(made.steps[2].wheel.deg(), 320, 1e-9);
}

// A carriage works along the tube; another order is a stop with its reason.
TEST(ChooseOrder, CarriageWorksAlongTheTube) {
  workshop::Shop s = shop(3000);
  s.benders[0].kind = workshop::BenderKind::kCarriageFed;
  s.benders[0].grip_mm = 60;
  const part::Part part =
      sample::tube_part({row(300, 0, 50), row(250, 70, 60), row(200, -40, 30)}, 310);
  const Plan best = *plan(part, s, wish("best"));
  EXPECT_TRUE(best.order.works());
  EXPECT_EQ(best.order.num_flips, 0u);
  const Plan odd = *plan(part, s, wish("2,1,3"));
  EXPECT_NE(find(odd.findings, "clearance.grip"), nullptr);
  EXPECT_GT(odd.order.num_stops, 0u);
}

// More than the search can hold, or a tube that cannot be: said, and planned as drawn.
TEST(ChooseOrder, WhatCannotBeComparedIsSaid) {
  std::vector<geometry::BendRow> rows(40, row(300, 0, 20));
  const Plan made = *plan(sample::tube_part(rows, 300), shop(2000));
  EXPECT_EQ(made.steps.size(), 40u);
  const part::Finding* finding = find(made.findings, "order.not-compared");
  ASSERT_NE(finding, nullptr);
  EXPECT_EQ(finding->severity, part::Severity::kCaution);
  EXPECT_FALSE(made.order.compared);
}

}  // namespace
}  // namespace bight::planning

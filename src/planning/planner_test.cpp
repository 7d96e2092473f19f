#include "planning/planner.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "planning/sample_shop_test_util.h"

namespace bight::planning {
namespace {

using base::Angle;
using sample::find;
using sample::row;

// U 700 wide, legs 500 outside, a 90° that used 180.9 of blank: cut 1528.4; drawn length without
// stretch 1525.7 (common practice, no source).
TEST(PlannerReference, CutLengthOfAU) {
  workshop::Shop shop = sample::shop();
  workshop::TrialBend measured = sample::trial(94.6, 90.0);
  measured.blank_mm = 1000.0;
  measured.leg_a_outside_mm = 585.8;
  measured.leg_b_outside_mm = 500.0;
  shop.trials = {sample::trial(20, 18.2), sample::trial(120, 114.4), measured};
  const part::Part part = sample::u_part();
  EXPECT_NEAR(part.table.developed_length_mm(), 1525.7, 0.05);
  const Plan plan = *planning::plan(part, shop);
  ASSERT_EQ(plan.steps.size(), 2u);
  EXPECT_TRUE(plan.blank.proven);
  EXPECT_NEAR(plan.blank.cut.likely_mm, 1528.4, 0.05);
  EXPECT_LT(plan.blank.cut.low_mm, 1528.4);
  EXPECT_GT(plan.blank.cut.high_mm, 1528.4);
  EXPECT_EQ(plan.blank.grip_front_mm, 0.0);
  EXPECT_FALSE(part::any_stop(plan.findings));
}

// Without trials nothing is proven, the plan says so, and the bracket runs from full stretch to
// none.
TEST(Planner, UnprovenIsSaid) {
  const Plan plan = *planning::plan(sample::u_part(), sample::shop());
  EXPECT_FALSE(plan.blank.proven);
  ASSERT_NE(find(plan.findings, "blank.unproven"), nullptr);
  ASSERT_NE(find(plan.findings, "springback.unproven"), nullptr);
  const double r_mm = (38.1 - 1.6) / 2;
  const double radius_mm = plan.steps[0].radius_after_release_mm;
  const double full_mm = std::numbers::pi / 2 * std::sqrt(radius_mm * radius_mm - r_mm * r_mm);
  const double none_mm = std::numbers::pi / 2 * radius_mm;
  EXPECT_NEAR(plan.blank.cut.high_mm - plan.blank.cut.low_mm, 2 * (none_mm - full_mm), 1e-9);
  EXPECT_EQ(plan.blank.cut.likely_mm, plan.blank.cut.high_mm);
  EXPECT_LT(plan.steps[0].set_angle.low, plan.steps[0].set_angle.likely);
  EXPECT_GT(plan.steps[0].set_angle.likely.deg(), 90.0);
}

// 20 -> 18.2 and 120 -> 114.4: set 94.64 for 90, 47.86 for 45 by the line through the two (common
// practice, no source). The first value still pulls a little after two trials: 94.62 and 47.85, the
// same on a keypad that takes tenths.
TEST(PlannerReference, SetAnglesFromTwoTrials) {
  workshop::Shop shop = sample::shop();
  shop.trials = {sample::trial(20, 18.2), sample::trial(120, 114.4)};
  const Plan plan =
      *planning::plan(sample::tube_part({row(300, 0, 90), row(300, 0, 45)}, 300), shop);
  EXPECT_NEAR(plan.steps[0].set_angle.likely.deg(), 94.64, 0.05);
  EXPECT_NEAR(plan.steps[1].set_angle.likely.deg(), 47.86, 0.05);
  EXPECT_TRUE(plan.dies[0].law.proven);
  // The radius grows by the proportional part: 114.3 / (1 - 0.038), to a tenth.
  EXPECT_NEAR(plan.steps[0].radius_after_release_mm, 114.3 / 0.962, 0.1);
}

// End leg 60 with a clamp of 95: 35 more in front; 110 needed behind: 50 more; cut = part + 85
// (common practice, no source).
TEST(PlannerReference, GripAllowances) {
  workshop::Shop shop = sample::shop();
  workshop::TrialBend still = sample::trial(90, 90);
  still.radius_after_mm = 114.3;
  shop.trials = {sample::trial(20, 20), still};
  part::Part part = sample::tube_part({row(60, 0, 90)}, 60);
  part.radii_are_die = true;
  const Plan plan = *planning::plan(part, shop);
  EXPECT_NEAR(plan.blank.grip_front_mm, 35.0, 1e-9);
  EXPECT_NEAR(plan.blank.grip_back_mm, 50.0, 1e-9);
  EXPECT_NEAR(plan.blank.cut.high_mm, part.table.developed_length_mm() + 85.0, 1e-6);
  EXPECT_NEAR(plan.steps[0].mark_mm, 95.0, 1e-9);
}

// Trim serves as grip before more is added, and stands apart in the blank.
TEST(Planner, TrimCountsTowardsTheGrip) {
  workshop::Shop shop = sample::shop();
  part::Part part = sample::tube_part({row(60, 0, 90)}, 300);
  part.end_a.trim_mm = 20;
  const Plan plan = *planning::plan(part, shop);
  const double straight_mm = plan.bent_table.straight_mm(0);
  EXPECT_NEAR(plan.blank.grip_front_mm + 20 + straight_mm, 95.0, 1e-9);
  EXPECT_EQ(plan.blank.trim_front_mm, 20.0);
  EXPECT_NEAR(plan.steps[0].mark_mm, 95.0, 1e-9);
}

// Marks run along the blank: each is the one before, its arc and the straight between. From end B
// the same bends are marked from their other side.
TEST(Planner, MarksFromEitherEnd) {
  const part::Part part =
      sample::tube_part({row(300, 0, 90), row(250, 70, 60), row(200, -40, 30)}, 310);
  const Plan a = *planning::plan(part, sample::shop());
  for (std::size_t k = 1; k < 3; ++k) {
    EXPECT_NEAR(a.steps[k].mark_mm,
                a.steps[k - 1].mark_mm + a.steps[k - 1].arc_mm + a.bent_table.straight_mm(k), 1e-9);
  }
  const Plan b = *planning::plan(part, sample::shop(), {.from = End::kB});
  ASSERT_EQ(b.steps.size(), 3u);
  EXPECT_EQ(b.steps[0].bend, 3u);
  EXPECT_EQ(b.steps[0].side, MarkSide::kTowardsA);
  EXPECT_NEAR(b.blank.cut.likely_mm, a.blank.cut.likely_mm, 1e-9);
  EXPECT_NEAR(b.steps[2].mark_mm, a.steps[0].mark_mm + a.steps[0].arc_mm, 1e-9);
  EXPECT_NEAR(b.steps[0].mark_from_b_mm, b.blank.cut.likely_mm - b.steps[0].mark_mm, 1e-9);
  // The rotation between two bends is the same from either end.
  EXPECT_NEAR(b.steps[1].rotation.deg(), -40, 1e-9);
  EXPECT_NEAR(b.steps[2].wheel.deg(), 30, 1e-9);
}

// A machine whose wheel counts the other way, starts at 10 and flips the sign of rotations.
TEST(Planner, WheelFollowsTheBendersConventions) {
  workshop::Shop shop = sample::shop();
  shop.benders[0].wheel_counts_backwards = true;
  shop.benders[0].wheel_zero = Angle::degrees(10);
  shop.benders[0].rotation_sign_flipped = true;
  const Plan plan =
      *planning::plan(sample::tube_part({row(300, 0, 90), row(300, 90, 90)}, 300), shop);
  EXPECT_NEAR(plan.steps[0].wheel.deg(), 10, 1e-9);
  EXPECT_NEAR(plan.steps[1].wheel.deg(), 280, 1e-9);
  EXPECT_NEAR(plan.steps[1].rotation.deg(), -90, 1e-9);
}

// Left and right hand: lengths, marks and set angles equal, every rotation reversed.
TEST(PlannerReference, MirroredPair) {
  const part::Part part =
      sample::tube_part({row(300, 0, 90), row(250, 70, 60), row(200, -40, 30)}, 310);
  const Plan left = *planning::plan(part, sample::shop());
  const Plan right = *planning::plan(part::mirrored(part), sample::shop());
  EXPECT_EQ(left.blank.cut.likely_mm, right.blank.cut.likely_mm);
  for (std::size_t k = 0; k < 3; ++k) {
    EXPECT_EQ(left.steps[k].mark_mm, right.steps[k].mark_mm);
    EXPECT_EQ(left.steps[k].set_angle.likely, right.steps[k].set_angle.likely);
    EXPECT_EQ(left.steps[k].rotation, -right.steps[k].rotation);
  }
}

// A straight piece needs no die.
TEST(Planner, StraightPiece) {
  const Plan plan = *planning::plan(sample::tube_part({}, 1234), sample::shop());
  EXPECT_NEAR(plan.blank.cut.likely_mm, 1234, 1e-9);
  EXPECT_TRUE(plan.blank.proven);
  EXPECT_FALSE(part::any_stop(plan.findings));
}

}  // namespace
}  // namespace bight::planning

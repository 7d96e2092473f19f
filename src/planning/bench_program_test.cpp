#include "planning/bench_program.h"

#include <gtest/gtest.h>

#include "planning/planner.h"
#include "planning/sample_shop_test_util.h"

namespace bight::planning {
namespace {

using base::Angle;
using inspection::MeasuredBend;

// Story 3's shop: a 1.04°, b 0.038 from two trial bends.
workshop::Shop shop() {
  workshop::Shop shop = sample::shop();
  shop.trials = {sample::trial(20, 18.2), sample::trial(120, 114.4)};
  return shop;
}

inspection::Measured angles(double first_deg, double second_deg) {
  inspection::Measured measured;
  measured.bends.resize(2);
  measured.bends[0].angle = Angle::degrees(first_deg);
  measured.bends[1].angle = Angle::degrees(second_deg);
  return measured;
}

// Story 3: commanded 93.0, measured 88.6, target 90 gives 93.0 + 1.4 / (1 - b) = 94.5; a straight
// 2.5 too long is fed 2.5 less, and everything behind it moves by as much.
TEST(BenchProgram, StoryThree) {
  const Plan plan = *planning::plan(sample::u_part(), shop());
  inspection::Measured measured = angles(88.6, 90.0);
  measured.bends[0].set = Angle::degrees(93.0);
  measured.bends[1].straight_mm = plan.bent_table.straight_mm(1) + 2.5;
  const auto found = correct_piece(plan, measured);
  ASSERT_TRUE(found.ok()) << found.failure().text();
  EXPECT_NEAR(found->correction.next.rows[0].set.deg(), 94.46, 0.05);
  EXPECT_NEAR(found->correction.next.rows[1].straight_mm, plan.bent_table.straight_mm(1) - 2.5,
              1e-9);
  ASSERT_EQ(found->marks.size(), 2u);
  EXPECT_NEAR(found->marks[0].new_mm - found->marks[0].old_mm, 0.0, 1e-9);
  EXPECT_NEAR(found->marks[1].new_mm - found->marks[1].old_mm, -2.5, 1e-9);
  EXPECT_NEAR(found->new_cut_mm - found->old_cut_mm, -2.5, 1e-9);
}

// Without words of its own a piece was keyed in as planned, as fine as the keypad takes it.
TEST(BenchProgram, ThePlansProgram) {
  const Plan plan = *planning::plan(sample::u_part(), shop());
  const auto program = program_of(plan, {});
  ASSERT_TRUE(program.ok());
  EXPECT_NEAR(program->rows[0].set.deg(), plan.steps[0].set_angle.likely.deg(), 0.0501);
  EXPECT_NEAR(std::remainder(program->rows[0].set.deg(), 0.1), 0.0, 1e-9);
  EXPECT_EQ(program->rows[1].straight_mm, plan.bent_table.straight_mm(1));
}

// Worked from end B, a piece has the same table, and its marks still lie from end A of the blank.
TEST(BenchProgram, FromEndB) {
  PlanOptions from_b;
  from_b.from = End::kB;
  const Plan a = *planning::plan(sample::u_part(), shop());
  const Plan b = *planning::plan(sample::u_part(), shop(), from_b);
  inspection::Measured measured = angles(89.0, 91.0);
  measured.bends[1].straight_mm = a.bent_table.straight_mm(1) + 2.5;
  const auto by_a = correct_piece(a, measured);
  const auto by_b = correct_piece(b, measured);
  ASSERT_TRUE(by_a.ok() && by_b.ok());
  for (std::size_t i = 0; i < 2; ++i) {
    EXPECT_NEAR(by_a->correction.next.rows[i].set.deg(), by_b->correction.next.rows[i].set.deg(),
                1e-9);
  }
  EXPECT_EQ(by_b->marks[0].bend, 2u);
  EXPECT_NEAR(by_b->marks[0].new_mm - by_b->marks[0].old_mm, -2.5, 1e-9);
  EXPECT_NEAR(by_b->marks[1].new_mm - by_b->marks[1].old_mm, 0.0, 1e-9);
}

// A bender that counts rotations the other way: what its operator typed is turned into the table's
// sign.
TEST(BenchProgram, TurnedByTheBendersSign) {
  workshop::Shop flipped = shop();
  flipped.benders[0].rotation_sign_flipped = true;
  const part::Part part =
      sample::tube_part({sample::row(300, 0, 90), sample::row(300, 30, 90)}, 300);
  const Plan plan = *planning::plan(part, flipped);
  ASSERT_EQ(plan.steps.size(), 2u);
  EXPECT_NEAR(plan.steps[1].rotation.deg(), -30.0, 1e-9);
  inspection::Measured measured = angles(90, 90);
  measured.bends[1].turned = Angle::degrees(-31);
  EXPECT_NEAR(program_of(plan, measured)->rows[1].rotation.deg(), 31.0, 1e-9);
}

// Without a die nothing was keyed in.
TEST(BenchProgram, NoProgram) {
  workshop::Shop bare = shop();
  bare.die_sets.clear();
  const Plan plan = *planning::plan(sample::u_part(), bare);
  EXPECT_EQ(correct_piece(plan, angles(90, 90)).failure().code, "correct.program");
}

}  // namespace
}  // namespace bight::planning

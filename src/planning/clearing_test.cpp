#include "planning/clearing.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "planning/planner.h"
#include "planning/sample_shop_test_util.h"

namespace bight::planning {
namespace {

using base::Angle;
using clearance::Front;

// A leg that hangs from a bend 60° down, on a bender whose die is `floor_mm` above the floor. The
// head turns counter-clockwise, so bends swing towards +y; a rotation of 90° before the second
// bend turns the leg already bent up or down.
workshop::Shop shop(double floor_mm) {
  workshop::Shop s = sample::shop();
  s.benders[0].direction = workshop::TurnDirection::kCounterClockwise;
  s.benders[0].around.room.floor_mm = floor_mm;
  s.trials = {sample::trial(20, 18.2), sample::trial(120, 114.4)};
  return s;
}

part::Part leg_part() {
  return sample::tube_part({sample::row(900, 0, 60), sample::row(400, 90, 30)}, 300);
}

// Height of the lowest point of a leg after its bend of 60° in the vertical plane: the leg of
// 900 mm runs down at 60° from the arc's end, by plane geometry on the finished radius.
double reach_below_mm(const Plan& plan, double od_mm) {
  const double r_mm = plan.bent_table.rows()[0].radius_mm;
  const double leg_mm =
      plan.bent_table.rows()[0].straight_mm + plan.blank.grip_front_mm + plan.blank.trim_front_mm;
  const double sine = std::sin(std::numbers::pi / 3);
  const double cosine = std::cos(std::numbers::pi / 3);
  return r_mm * (1 - cosine) + leg_mm * sine + 0.5 * od_mm * cosine;
}

// Worked from A the 60° leg is there when bend 2 is made in the level plane: with one sign of the
// rotation it hangs down, with the other it stands up. The answer for the one that hangs must
// change exactly where plane geometry says.
TEST(Clearing, LegOverTheFloor) {
  int num_down = 0;
  for (const double rotation_deg : {90.0, -90.0}) {
    part::Part part =
        sample::tube_part({sample::row(900, 0, 60), sample::row(400, rotation_deg, 30)}, 300);
    const Plan made = *plan(part, shop(5000));
    const Clearing c = *clearing(made);
    double low_z_mm = 1e9;
    for (const clearance::Moment& moment : *clearance::movement(c.setup(1), c.tube, c.steps[1])) {
      if (moment.stage != clearance::Stage::kClamp) continue;
      for (const geometry::Segment& piece : moment.tube) {
        low_z_mm = std::min(low_z_mm, piece.at(piece.length_mm).origin_mm.z());
        low_z_mm = std::min(low_z_mm, piece.start.origin_mm.z());
      }
    }
    const double below_mm = reach_below_mm(made, 38.1);
    if (low_z_mm > -500) continue;  // this one points up
    ++num_down;
    EXPECT_NEAR(-low_z_mm + 0.5 * 38.1 * 0.5, below_mm, 1e-6);
    // A floor 10 mm lower than the reach is cleared, one 10 mm higher is hit.
    for (const double by_mm : {10.0, -10.0}) {
      workshop::Shop tight = shop(below_mm + by_mm);
      PlanOptions keep;
      keep.order.kind = OrderWish::Kind::kDrawn;
      const Clearing close = *clearing(*plan(part, tight, keep));
      const std::vector<StepAnswer> found = *clear_steps(close);
      EXPECT_EQ(found[1].clearance.hit(), by_mm < 0) << rotation_deg;
      EXPECT_EQ(found[1].stops(), by_mm < 0);
      EXPECT_NEAR(found[1].clearance.low_mm(1000), by_mm, 0.2);
      EXPECT_EQ(found[1].clearance.nearest->body, "floor");
    }
  }
  EXPECT_EQ(num_down, 1);
}

// Bends on the blank: where the marks say, in part order whichever end the work starts from.
TEST(Clearing, FromEitherEndTheSameTube) {
  const Plan from_a = *plan(leg_part(), shop(2000));
  PlanOptions options;
  options.from = End::kB;
  const Plan from_b = *plan(leg_part(), shop(2000), options);
  const Clearing a = *clearing(from_a);
  const Clearing b = *clearing(from_b);
  EXPECT_EQ(a.steps[0].bend, 0u);
  EXPECT_EQ(b.steps[0].bend, 1u);
  EXPECT_EQ(a.steps[0].front, Front::kEndA);
  EXPECT_EQ(b.steps[0].front, Front::kEndB);
  EXPECT_EQ(a.steps[1].made, 1u);
  EXPECT_EQ(b.steps[1].made, 2u);
  // Grips differ by end; the straight between the bends does not.
  const auto between_mm = [](const clearance::Tube& tube) {
    return tube.bends[1].start_mm - tube.bends[0].start_mm - tube.bends[0].blank_mm;
  };
  EXPECT_NEAR(between_mm(a.tube), between_mm(b.tube), 1e-9);
  EXPECT_NEAR(between_mm(a.tube), from_a.bent_table.rows()[1].straight_mm, 1e-9);
  EXPECT_NEAR(a.tube.bends[0].set_angle.deg(), from_a.steps[0].set_angle.likely.deg(), 1e-12);
}

// A carriage-fed bender feeds by the straight between bends and turns by the table's rotation.
TEST(Clearing, CarriageFeedsAndTurns) {
  workshop::Shop s = shop(2000);
  s.benders[0].kind = workshop::BenderKind::kCarriageFed;
  s.benders[0].grip_mm = 60;
  s.benders[0].travel_mm = 500;
  const Plan made = *plan(leg_part(), s);
  const Clearing c = *clearing(made);
  EXPECT_EQ(c.steps[0].advance_mm, 0.0);
  EXPECT_NEAR(c.steps[1].advance_mm, made.bent_table.rows()[1].straight_mm, 1e-9);
  EXPECT_NEAR(c.steps[1].turn.deg(), 90, 1e-9);
  const std::vector<StepAnswer> answers = *clear_steps(c);
  ASSERT_FALSE(answers[0].limits.empty());
  EXPECT_EQ(answers[0].limits[0].code, "clearance.travel");
  EXPECT_TRUE(answers[0].stops());
  EXPECT_FALSE(not_checked(answers).empty());
}

// While the carriage turns the tube into the next plane nothing jumps: the pose before the turn is
// the pose that the step before has left.
TEST(Clearing, TurnTakesUpWhereTheStepBeforeEnded) {
  workshop::Shop s = shop(2000);
  s.benders[0].kind = workshop::BenderKind::kCarriageFed;
  const Clearing c = *clearing(*plan(leg_part(), s));
  const auto first = *clearance::movement(c.setup(0), c.tube, c.steps[0]);
  const auto second = *clearance::movement(c.setup(1), c.tube, c.steps[1]);
  const auto end = [](const clearance::Moment& moment) {
    const geometry::Segment& last = moment.tube.back();
    return last.at(last.length_mm).origin_mm;
  };
  EXPECT_LT((end(first.back()) - end(second.front())).norm(), 1e-6);
}

TEST(Clearing, NothingToCompare) {
  const Plan straight = *plan(sample::tube_part({}, 1000), shop(1000));
  EXPECT_EQ(clearing(straight).failure().code, "clear.no-steps");
}

}  // namespace
}  // namespace bight::planning

#include "clearance/step_clearance.h"

#include <gtest/gtest.h>

#include <cmath>

#include "clearance/sample_bender_test_util.h"

namespace bight::clearance {
namespace {

using sample::Angle;
using sample::Vec3;

// The bender with nothing of its own, 1050 above the floor: the die's disc and the floor remain.
struct FloorCase {
  workshop::Bender bender = sample::bender();
  workshop::DieSet die = sample::die();
  Tube tube;
  // 60° leg, 1400 from its corner to the end; a bend of 30° in the other plane before it.
  explicit FloorCase(double od_mm) {
    bender.around.bodies.clear();
    const double radius_mm = 114.3 / 0.96;
    const double setback_mm = radius_mm * std::tan(Angle::degrees(30).rad());
    tube = sample::tube({{250, 0, 30}, {300, -90, 60}}, 1400 - setback_mm, od_mm);
  }
  StepClearance at(const Step& step) const {
    StepChecker checker = StepChecker::make({&bender, {&die}}, tube).value();
    return checker.check(step);
  }
};

// Floor swing of the trade: a 1400 mm leg 60° down, die 1050 above the floor, drops
// 1400 sin 60° = 1212 and hits by 162 (common practice, no source; computed by hand). On a thin
// line the answer is that number; a tube reaches r cos 60° lower with the rim of its end.
TEST(StepClearance, FloorSwingHitsBy162) {
  const Step step{.bend = 0, .made = 0b10, .front = Front::kEndB};
  const double drop_mm = 1400 * std::sin(Angle::degrees(60).rad()) - 1050;
  EXPECT_NEAR(drop_mm, 162, 0.5);
  for (const double od_mm : {0.001, 38.1}) {
    const StepClearance answer = FloorCase(od_mm).at(step);
    ASSERT_TRUE(answer.nearest.has_value());
    EXPECT_TRUE(answer.hit());
    EXPECT_EQ(answer.nearest->body, "floor");
    EXPECT_NEAR(answer.nearest->high_mm, -(drop_mm + 0.25 * od_mm), 1e-6) << od_mm;
    EXPECT_GE(answer.nearest->low_mm, answer.nearest->high_mm - 0.1);
    EXPECT_NEAR(answer.overlap_mm(), drop_mm + 0.25 * od_mm, 0.1);
  }
}

// The same part bent from its other end: the long leg lies straight on the feed axis.
TEST(StepClearance, FloorSwingClearsFromTheOtherEnd) {
  const FloorCase c(38.1);
  for (const Step& step : {Step{.bend = 0, .made = 0, .front = Front::kEndA},
                           Step{.bend = 1, .made = 0b01, .front = Front::kEndA}}) {
    const StepClearance answer = c.at(step);
    EXPECT_FALSE(answer.hit());
    EXPECT_GT(answer.low_mm(1000), 150) << step.bend;
  }
}

}  // namespace
}  // namespace bight::clearance

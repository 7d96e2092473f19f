#include "inspection/tape.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

namespace bight::inspection {
namespace {

using base::Angle;

// Legs of 300 and 90 wanted: 424.3 across; 430 means 88.44°, 431 means 88.17°: 0.27° per mm (common
// practice, no source; the cosine rule).
TEST(TapeReference, TriangleOfThreeHundred) {
  EXPECT_NEAR(across_mm(Angle::degrees(90), 300, 300), 424.3, 0.05);
  const TapedAngle at_430 = *angle_from_across(300, 300, 430);
  EXPECT_NEAR(at_430.angle.deg(), 88.44, 0.005);
  EXPECT_NEAR(at_430.per_mm.deg(), 0.27, 0.005);
  EXPECT_NEAR(angle_from_across(300, 300, 431)->angle.deg(), 88.17, 0.005);
}

// R 1500: over a chord of 500 the rise is 20.98 and half a millimetre reads as 1465.6 to 1536.1;
// over 1000 it is 85.79 and 1491.8 to 1508.3: use the longest chord that fits (the same).
TEST(TapeReference, LongChordsTellMore) {
  const TapedRadius small = *radius_from_rise(500, 20.98);
  EXPECT_NEAR(small.radius_mm, 1500.0, 0.5);
  EXPECT_NEAR(small.low_mm, 1465.6, 0.5);
  EXPECT_NEAR(small.high_mm, 1536.1, 0.5);
  const TapedRadius large = *radius_from_rise(1000, 85.79);
  EXPECT_NEAR(large.low_mm, 1491.8, 0.2);
  EXPECT_NEAR(large.high_mm, 1508.3, 0.2);
}

// Across and back is the angle itself, for legs of any length; per_mm is the slope.
RC_GTEST_PROP(TapeProperty, RoundTrip, ()) {
  const double a_mm = *rc::gen::inRange(50, 800);
  const double b_mm = *rc::gen::inRange(50, 800);
  const Angle angle = Angle::degrees(*rc::gen::inRange(20, 1700) / 10.0);
  const double c_mm = across_mm(angle, a_mm, b_mm);
  const TapedAngle back = *angle_from_across(a_mm, b_mm, c_mm);
  RC_ASSERT(std::abs((back.angle - angle).deg()) < 1e-8);
  // Below 10° the slope itself changes within the step.
  RC_PRE(angle > Angle::degrees(10));
  const double step_mm = 1e-5;
  const double there = angle_from_across(a_mm, b_mm, c_mm - step_mm)->angle.deg();
  RC_ASSERT(std::abs((there - angle.deg()) / step_mm - back.per_mm.deg()) <
            1e-3 * back.per_mm.deg() + 1e-4);
}

TEST(Tape, RefusesImpossibleTriangles) {
  EXPECT_EQ(angle_from_across(300, 300, 601).failure().code, "tape.triangle");
  EXPECT_EQ(angle_from_across(300, 100, 150).failure().code, "tape.triangle");
  EXPECT_EQ(angle_from_across(0, 300, 300).failure().code, "tape.triangle");
  EXPECT_EQ(radius_from_rise(100, 60).failure().code, "tape.triangle");
  EXPECT_TRUE(std::isinf(radius_from_rise(100, 0.4)->high_mm));
}

}  // namespace
}  // namespace bight::inspection

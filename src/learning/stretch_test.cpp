#include "learning/stretch.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace bight::learning {
namespace {

using base::Angle;

// 38.1 tube, R 114.3, blank 1000, legs 585.8 and 500 over the outside: the bend used 180.9 against
// 179.5 by R * angle (common practice, no source; plane geometry).
TEST(StretchReference, EffectiveArcOfA90) {
  const StretchReading reading = *read_stretch({1000, 585.8, 500, Angle::degrees(90), 38.1, 114.3});
  EXPECT_NEAR(reading.effective_arc_mm, 180.9, 1e-9);
  EXPECT_NEAR(reading.arc_ratio, 180.9 / (114.3 * std::numbers::pi / 2), 1e-12);
}

// A printed hand-bender example, 1.5 in tube, 6 in die, 36 in piece, legs 20 and 20.5 in: it
// implies a radius of 6.99 in, 16 % off its own die.
TEST(StretchReference, PrintedExampleImpliesAnotherRadius) {
  const double in = 25.4;
  const StretchReading reading =
      *read_stretch({36 * in, 20 * in, 20.5 * in, Angle::degrees(90), 1.5 * in, 6 * in});
  EXPECT_NEAR(reading.implied_radius_mm / in, 6.99, 0.005);
}

// The same example's start offset: 13.25 in to the tangent with R 6, 1.25 in off the 12 in mark's
// far side; 0.26 in with the implied radius.
TEST(StretchReference, MarkOffsetOfThePrintedExample) {
  const double in = 25.4;
  LengthTrial trial{36 * in, 20 * in, 20.5 * in, Angle::degrees(90), 1.5 * in, 6 * in};
  EXPECT_NEAR(mark_offset_mm(trial, 12 * in) / in, 1.25, 1e-9);
  trial.radius_mm = 6.99 * in;
  EXPECT_NEAR(mark_offset_mm(trial, 12 * in) / in, 0.26, 0.005);
}

// The cut length of a part does not depend on which radius the trial was read with, as long as
// the same radius is used to lay the part out: only the gain per bend was measured.
TEST(StretchProperty, CutLengthDoesNotDependOnTheBelievedRadius) {
  const auto cut_mm = [](double radius_mm) {
    const StretchReading r = *read_stretch({1000, 585.8, 500, Angle::degrees(90), 38.1, radius_mm});
    const double setback_mm = radius_mm + 19.05;
    return 2 * (500 - setback_mm) + (700 - 2 * setback_mm) + 2 * r.effective_arc_mm;
  };
  EXPECT_NEAR(cut_mm(114.3), 1528.4, 1e-9);
  EXPECT_NEAR(cut_mm(118.0), 1528.4, 1e-9);
}

TEST(Stretch, RefusesNonsense) {
  EXPECT_EQ(read_stretch({1000, 585.8, -1, Angle::degrees(90), 38.1, 114.3}).failure().code,
            "stretch.number");
  EXPECT_EQ(read_stretch({100, 900, 900, Angle::degrees(90), 38.1, 114.3}).failure().code,
            "stretch.number");
  EXPECT_EQ(read_stretch({1000, 585.8, 500, Angle::degrees(180), 38.1, 114.3}).failure().code,
            "stretch.angle");
}

}  // namespace
}  // namespace bight::learning

#include "base/angle.h"

#include <gtest/gtest.h>

namespace bight::base {
namespace {

TEST(Angle, DegreesRoundTrip) {
  for (const double deg : {0.0, 1.0, 30.0, 67.5, 90.0, 180.0, -270.0, 359.9}) {
    EXPECT_NEAR(Angle::degrees(deg).deg(), deg, 1e-12);
  }
}

TEST(Angle, WrapsHalfOpen) {
  EXPECT_NEAR(Angle::degrees(270).wrapped().deg(), -90, 1e-12);
  EXPECT_NEAR(Angle::degrees(-180).wrapped().deg(), 180, 1e-12);
  EXPECT_NEAR(Angle::degrees(540).wrapped().deg(), 180, 1e-9);
  EXPECT_NEAR(Angle::degrees(-30).wrapped_positive().deg(), 330, 1e-12);
  EXPECT_NEAR(Angle::degrees(720).wrapped_positive().deg(), 0, 1e-9);
}

TEST(Angle, Trigonometry) {
  EXPECT_NEAR(sin(Angle::degrees(30)), 0.5, 1e-15);
  EXPECT_NEAR(cos(Angle::degrees(60)), 0.5, 1e-15);
  EXPECT_NEAR(tan(Angle::degrees(45)), 1.0, 1e-15);
  EXPECT_DOUBLE_EQ(Angle::degrees(90) / Angle::degrees(45), 2.0);
}

}  // namespace
}  // namespace bight::base

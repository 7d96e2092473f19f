#include "geometry/frame.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <numbers>

namespace bight::geometry {
namespace {

using base::Angle;

// Turning agrees with Eigen's quaternion rotation, which shares no code with it.
TEST(Frame, TurnedAgreesWithQuaternions) {
  const Vec3 axis = Vec3(1, -2, 0.5).normalized();
  const Vec3 v(3, 4, -5);
  for (const double deg : {0.0, 1e-6, 33.0, 90.0, 179.0, 270.0}) {
    const Vec3 expected =
        Eigen::AngleAxisd(deg * std::numbers::pi / 180.0, axis).toRotationMatrix() * v;
    EXPECT_LT((turned(v, axis, Angle::degrees(deg)) - expected).norm(), 1e-13);
  }
}

// The angle keeps all digits where acos of the dot product has lost them.
TEST(Frame, AngleBetweenKeepsDigitsAtBothEnds) {
  for (const double deg : {1e-7, 1e-4, 1.0, 45.0, 90.0, 135.0, 179.0, 179.9999}) {
    const double rad = deg * std::numbers::pi / 180.0;
    const Vec3 a(1, 0, 0);
    const Vec3 b(std::cos(rad), std::sin(rad), 0);
    EXPECT_NEAR(angle_between(a, b * 7.0).deg(), deg, 1e-13 + deg * 1e-14) << deg;
  }
}

// A quarter arc of radius 10 to the left ends at (10, 10) heading along +Y.
TEST(Frame, SweptQuarter) {
  const Frame end = Frame().swept(10.0, Angle::degrees(90));
  EXPECT_LT((end.origin_mm - Vec3(10, 10, 0)).norm(), 1e-14);
  EXPECT_LT((end.ahead - Vec3(0, 1, 0)).norm(), 1e-15);
  EXPECT_LT((end.inward - Vec3(-1, 0, 0)).norm(), 1e-15);
  EXPECT_LT((end.ahead.cross(end.inward) - end.normal).norm(), 1e-15);
}

// Rolling is right-handed about the direction of travel: +90° takes a left turn to an upward one.
TEST(Frame, RolledIsRightHanded) {
  EXPECT_LT((Frame().rolled(Angle::degrees(90)).inward - Vec3(0, 0, 1)).norm(), 1e-15);
}

}  // namespace
}  // namespace bight::geometry

#include "geometry/faces.h"

#include <gtest/gtest.h>

namespace bight::geometry {
namespace {

// A U 700 wide and 500 long over the outsides in 38.1 tube: centreline 661.9 wide, legs 480.95
// (common practice, no source: outside less half the tube).
TEST(Faces, OutsideOfAU) {
  const std::vector<Vec3> centre = *centreline_from_face(
      {Vec3(0, 0, 0), Vec3(500, 0, 0), Vec3(500, 700, 0), Vec3(0, 700, 0)}, Face::kOutside, 38.1);
  EXPECT_LT((centre[0] - Vec3(0, 19.05, 0)).norm(), 1e-12);
  EXPECT_LT((centre[1] - Vec3(480.95, 19.05, 0)).norm(), 1e-12);
  EXPECT_LT((centre[2] - Vec3(480.95, 680.95, 0)).norm(), 1e-12);
  EXPECT_LT((centre[3] - Vec3(0, 680.95, 0)).norm(), 1e-12);
}

// Inside and outside of the same U lie one tube apart.
TEST(Faces, InsideIsTheOtherSide) {
  const std::vector<Vec3> drawn = {Vec3(0, 0, 0), Vec3(300, 0, 0), Vec3(350, 200, 0)};
  const auto outside = *centreline_from_face(drawn, Face::kOutside, 20);
  const auto inside = *centreline_from_face(drawn, Face::kInside, 20);
  EXPECT_NEAR((outside[0] - inside[0]).norm(), 20, 1e-12);
  EXPECT_LT(((outside[1] + inside[1]) / 2.0 - drawn[1]).norm(), 1e-12);
}

// The reader's left stays left whichever way the first corner turns.
TEST(Faces, LeftIsTheReadersLeft) {
  const auto right_turn =
      *centreline_from_face({Vec3(0, 0, 0), Vec3(100, 0, 0), Vec3(100, -80, 0)}, Face::kLeft, 10);
  EXPECT_LT((right_turn[0] - Vec3(0, -5, 0)).norm(), 1e-12);
  const auto left_turn =
      *centreline_from_face({Vec3(0, 0, 0), Vec3(100, 0, 0), Vec3(100, 80, 0)}, Face::kLeft, 10);
  EXPECT_LT((left_turn[0] - Vec3(0, -5, 0)).norm(), 1e-12);
}

TEST(Faces, RefusesWhatHasNoOutside) {
  EXPECT_EQ(
      centreline_from_face({Vec3(0, 0, 0), Vec3(100, 0, 0), Vec3(150, 50, 0), Vec3(250, 50, 0)},
                           Face::kOutside, 20)
          .failure()
          .code,
      "faces.mixed");
  EXPECT_EQ(
      centreline_from_face({Vec3(0, 0, 0), Vec3(100, 0, 0), Vec3(100, 50, 0), Vec3(100, 50, 90)},
                           Face::kOutside, 20)
          .failure()
          .code,
      "faces.plane");
  EXPECT_EQ(centreline_from_face({Vec3(0, 0, 0), Vec3(100, 0, 0)}, Face::kLeft, 20).failure().code,
            "faces.few");
}

TEST(Faces, RadiusToAFace) {
  EXPECT_DOUBLE_EQ(centreline_radius_mm(95.25, Face::kInside, 38.1), 114.3);
  EXPECT_DOUBLE_EQ(centreline_radius_mm(133.35, Face::kOutside, 38.1), 114.3);
  EXPECT_DOUBLE_EQ(centreline_radius_mm(114.3, Face::kCentre, 38.1), 114.3);
}

}  // namespace
}  // namespace bight::geometry

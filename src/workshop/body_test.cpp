#include "workshop/body.h"

#include <gtest/gtest.h>

namespace bight::workshop {
namespace {

// Each carrier has the word that shop files use, and no two the same.
TEST(Body, CarrierWords) {
  EXPECT_EQ(word(CarriedBy::kFrame), "frame");
  EXPECT_EQ(word(CarriedBy::kArm), "arm");
  EXPECT_EQ(word(CarriedBy::kClamp), "clamp");
  EXPECT_EQ(word(CarriedBy::kPressureDie), "pressure-die");
  EXPECT_EQ(word(CarriedBy::kCarriage), "carriage");
}

// About the carrier's x first, then its y, then its z, then moved: by hand, quarter turns.
TEST(Body, PoseByHand) {
  using base::Angle;
  using geometry::Vec3;
  Body body;
  body.at_mm = Vec3(10, 20, 30);
  body.turned = {Angle::degrees(90), Angle(), Angle()};
  EXPECT_LT((body.pose() * Vec3(0, 1, 0) - Vec3(10, 20, 31)).norm(), 1e-12);
  body.turned = {Angle::degrees(90), Angle(), Angle::degrees(90)};
  // y goes to z by the turn about x and stays there; x goes to y.
  EXPECT_LT((body.pose() * Vec3(0, 1, 0) - Vec3(10, 20, 31)).norm(), 1e-12);
  EXPECT_LT((body.pose() * Vec3(1, 0, 0) - Vec3(10, 21, 30)).norm(), 1e-12);
  body.turned = {Angle::degrees(90), Angle::degrees(90), Angle()};
  // y to z by x, z to x by y.
  EXPECT_LT((body.pose() * Vec3(0, 1, 0) - Vec3(11, 20, 30)).norm(), 1e-12);
}

}  // namespace
}  // namespace bight::workshop

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <random>

#include "geometry/shapes.h"
#include "geometry/shapes_for_tests.h"

namespace bight::geometry {
namespace {

using base::Angle;
using oracle::expect_at;
using oracle::expect_refused;
using oracle::path_of;

TEST(HandrailReturnShapeTest, ToTheWallAndToThePost) {
  using Kind = HandrailReturnShape::Kind;
  const Shape wall = *make_handrail_return({Kind::kWall, 2000, 75, 0, false, 50});
  expect_at(path_of(wall).end_mm, 2000, 75);
  const Shape post = *make_handrail_return({Kind::kPost, 2000, 150, 80, false, 50});
  expect_at(path_of(post).end_mm, 1920, 150);

  const Shape both_walls = *make_handrail_return({Kind::kWall, 2000, 75, 0, true, 50});
  const oracle::Path walls = path_of(both_walls);
  expect_at(walls.end_mm, 2000, 0);
  expect_at(walls.joints_mm[2], 50, -75);  // onto the rail, which runs along X
  expect_at(walls.joints_mm[3], 1950, -75);
  const oracle::Path posts = path_of(*make_handrail_return({Kind::kPost, 2000, 150, 80, true, 50}));
  // End A is the tip of the first leg that comes back: the corner is 80 before it.
  expect_at(posts.end_mm, 2000 - 80 - 80, 0);

  expect_refused(make_handrail_return({Kind::kWall, 2000, 40, 0, false, 50}), "shape.fit", "return",
                 "make the return at least 50.00 mm");
  expect_refused(make_handrail_return({Kind::kPost, 2000, 90, 80, false, 50}), "shape.fit",
                 "return", "make the return at least 100.00 mm");
  expect_refused(make_handrail_return({Kind::kPost, 2000, 150, 40, false, 50}), "shape.fit", "back",
                 "make the back at least 50.00 mm");
  expect_refused(make_handrail_return({Kind::kWall, 90, 75, 0, true, 50}), "shape.fit", "rail",
                 "make the rail at least 100.00 mm");
}

// Each rail keeps its pitch and the plan turns as asked, for pitches up and down.
TEST(StairTurnShapeTest, RailsKeepTheirPitch) {
  std::mt19937_64 random(7);
  std::uniform_real_distribution<double> pitch_deg(-50.0, 50.0);
  std::uniform_real_distribution<double> turn_deg(-150.0, 150.0);
  for (int i = 0; i < 200; ++i) {
    const Angle before = Angle::degrees(pitch_deg(random));
    const Angle after = Angle::degrees(pitch_deg(random));
    const Angle turn = Angle::degrees(turn_deg(random));
    const auto made = make_stair_turn({1500, 1200, before, after, turn, 60});
    ASSERT_TRUE(made.ok()) << made.failure().text();
    const oracle::Path path = path_of(*made);
    const Vec3 first = (path.joints_mm[1] - path.joints_mm[0]).normalized();
    EXPECT_NEAR(std::asin(first.z()), before.rad(), 1e-12);
    EXPECT_NEAR(first.y(), 0.0, 1e-12);
    EXPECT_NEAR(std::asin(path.end_direction.z()), after.rad(), 1e-9);
    EXPECT_NEAR(std::atan2(path.end_direction.y(), path.end_direction.x()), turn.rad(), 1e-9);
    const Vec3 corner = path.joints_mm[0] + first * 1500.0;
    EXPECT_NEAR((path.end_mm - corner).norm(), 1200.0, 1e-8);
  }
  const Shape stair = *make_stair_turn(
      {1500, 1200, Angle::degrees(35), Angle::degrees(35), Angle::degrees(90), 60});
  EXPECT_NEAR(stair.angles.at(0).angle.deg(), 70.8, 0.05);
  expect_refused(make_stair_turn({1500, 1200, Angle::degrees(90), Angle(), Angle(), 60}),
                 "shape.angle", "pitch before");
  expect_refused(make_stair_turn({1500, 1200, Angle(), Angle(), Angle::degrees(200), 60}),
                 "shape.angle", "plan turn");
  expect_refused(make_stair_turn({1500, 1200, Angle(), Angle(), Angle(), 60}), "shape.angle",
                 "bend");
  expect_refused(make_stair_turn({40, 1200, Angle(), Angle(), Angle::degrees(90), 60}), "shape.fit",
                 "before", "make the before at least 60.00 mm");
}

}  // namespace
}  // namespace bight::geometry

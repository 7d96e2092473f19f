#include "clearance/obstacle.h"

#include <gtest/gtest.h>

#include "clearance/sample_bender_test_util.h"

namespace bight::clearance {
namespace {

using geometry::Vec3;
using sample::Angle;

double distance_mm(const Obstacle& obstacle, const Vec3& p_mm) {
  return std::visit(
      [&](const auto& solid) {
        if constexpr (requires { solid.touch(p_mm); }) {
          return solid.touch(p_mm).distance_mm;
        } else {
          return 1e9;
        }
      },
      obstacle.solid);
}

double nearest_mm(const Obstacles& obstacles, const Vec3& p_mm) {
  double least_mm = 1e9;
  for (const Obstacle& o : obstacles) least_mm = std::min(least_mm, distance_mm(o, p_mm));
  return least_mm;
}

workshop::Body body(workshop::Shape shape) {
  workshop::Body b;
  b.name = "it";
  b.shape = std::move(shape);
  return b;
}

// Floor, ceiling and walls stand where they are said to, with the room inside.
TEST(Obstacle, Room) {
  workshop::Room room;
  room.floor_mm = 1000;
  room.ceiling_mm = 1500;
  room.walls = {{"back", Angle::degrees(90), 800}, {"right", Angle::degrees(-90), 600}};
  Obstacles out;
  add_room(out, room);
  ASSERT_EQ(out.size(), 4u);
  const auto at = [&](std::size_t i) { return distance_mm(out[i], Vec3(3, 10, 20)); };
  EXPECT_EQ(out[0].name, "floor");
  EXPECT_NEAR(at(0), 1020, 1e-9);
  EXPECT_EQ(out[1].name, "ceiling");
  EXPECT_NEAR(at(1), 1480, 1e-9);
  EXPECT_EQ(out[2].name, "back");
  EXPECT_NEAR(at(2), 790, 1e-9);
  EXPECT_NEAR(at(3), 610, 1e-9);
}

// An L of angle section: the notch is free, both legs are solid; raised from its own z = 0 and
// placed by its pose.
TEST(Obstacle, OutlineOfAnL) {
  workshop::Body b =
      body(workshop::OutlineShape{{{0, 0}, {20, 0}, {20, 5}, {5, 5}, {5, 20}, {0, 20}}, 100});
  b.at_mm = Vec3(1000, 0, 50);
  b.keep_out = true;
  Obstacles out;
  ASSERT_TRUE(add_body(out, b).ok());
  EXPECT_EQ(out.size(), 2u);
  EXPECT_TRUE(out[0].keep_out);
  EXPECT_LT(nearest_mm(out, Vec3(1015, 2, 60)), 0);
  EXPECT_LT(nearest_mm(out, Vec3(1002, 15, 140)), 0);
  EXPECT_NEAR(nearest_mm(out, Vec3(1010, 10, 60)), 5, 1e-9);
  EXPECT_NEAR(nearest_mm(out, Vec3(1010, 2, 47)), 3, 1e-9);
  EXPECT_NEAR(nearest_mm(out, Vec3(1010, 2, 153)), 3, 1e-9);
}

// Solids that cannot be are refused in words.
TEST(Obstacle, WhatCannotBeIsRefused) {
  Obstacles out;
  const auto refused = [&](workshop::Shape shape) {
    const base::Status status = add_body(out, body(std::move(shape)));
    return !status.ok() && status.failure().code == "clearance.body" &&
           status.failure().where == "it";
  };
  EXPECT_TRUE(refused(workshop::BoxShape{Vec3(1, 0, 1)}));
  EXPECT_TRUE(refused(workshop::BoxShape{Vec3(1, std::nan(""), 1)}));
  EXPECT_TRUE(refused(workshop::CylinderShape{0, 1}));
  EXPECT_TRUE(refused(workshop::CylinderShape{1, -1}));
  EXPECT_TRUE(refused(workshop::OutlineShape{{{0, 0}, {1, 1}, {1, 0}, {0, 1}}, 5}));
  EXPECT_TRUE(refused(workshop::OutlineShape{{{0, 0}, {1, 0}, {0, 1}}, 0}));
  EXPECT_TRUE(refused(workshop::MeshShape{}));
  EXPECT_TRUE(refused(workshop::MeshShape{"", 1.0, {Vec3::Zero()}, {{0, 0, 1}}}));
  workshop::Body lost = body(workshop::BoxShape{Vec3(1, 1, 1)});
  lost.at_mm = Vec3(std::nan(""), 0, 0);
  EXPECT_FALSE(add_body(out, lost).ok());
  EXPECT_TRUE(out.empty());
}

}  // namespace
}  // namespace bight::clearance

#include "clearance/rope.h"

#include <gtest/gtest.h>

#include <cmath>

namespace bight::clearance {
namespace {

using base::Angle;
using geometry::Vec3;

// However often it is halved, an arc stays within spread of its line and the line within spread of
// it, the pieces join, and blank and bending are shared out.
TEST(Rope, ArcStaysWithinItsSpread) {
  for (const double deg : {3.0, 90.0, 179.0, 355.0}) {
    geometry::Frame start;
    start.origin_mm = Vec3(10, -20, 30);
    const Angle angle = Angle::degrees(deg);
    const geometry::Segment arc{start, 120 * angle.rad(), 120, angle};
    std::vector<Rope> ropes;
    add_ropes(ropes, arc, 500, 700, Angle::degrees(10));
    ASSERT_EQ(ropes.size(), static_cast<std::size_t>(std::ceil(deg / 90)));
    for (int level = 0; level < 5; ++level) {
      double done = 0.0;
      for (const Rope& rope : ropes) {
        const double share = 1.0 / static_cast<double>(ropes.size());
        EXPECT_NEAR(rope.along_a_mm, 500 + 200 * done, 1e-9);
        EXPECT_NEAR(rope.turned_a_rad, Angle::degrees(10 + deg * done).rad(), 1e-12);
        EXPECT_LT((rope.a_mm - arc.at(arc.length_mm * done).origin_mm).norm(), 1e-9);
        for (double x = 0; x <= 1; x += 0.05) {
          const Vec3 on_arc = arc.at(arc.length_mm * (done + share * x)).origin_mm;
          const Vec3 along = rope.far_mm() - rope.near_mm();
          const double t =
              std::clamp((on_arc - rope.near_mm()).dot(along) / along.squaredNorm(), 0.0, 1.0);
          EXPECT_LE((on_arc - rope.near_mm() - along * t).norm(), rope.spread_mm() + 1e-9);
          EXPECT_LE((rope.on_centreline_mm(t) - rope.near_mm() - along * t).norm(),
                    rope.spread_mm() + 1e-9);
        }
        done += share;
      }
      EXPECT_LT((ropes.back().b_mm - arc.at(arc.length_mm).origin_mm).norm(), 1e-9);
      const double parts = static_cast<double>(ropes.size());
      const double sag_mm = 120 * (1 - std::cos(angle.rad() * 0.5 / parts));
      EXPECT_NEAR(ropes.front().sag_mm, sag_mm, 1e-10);
      std::vector<Rope> halved;
      for (const Rope& rope : ropes) {
        for (const Rope& half : rope.halves()) halved.push_back(half);
      }
      ropes = halved;
    }
  }
}

// A straight has no spread, keeps its flat ends where they are, and moves with its pose.
TEST(Rope, StraightAndMoved) {
  std::vector<Rope> ropes;
  add_ropes(ropes, {geometry::Frame(), 100, 0, Angle()}, 0, 100, Angle());
  ASSERT_EQ(ropes.size(), 1u);
  ropes.front().flat_b = true;
  const auto [a, b] = ropes.front().halves();
  EXPECT_EQ(a.spread_mm(), 0.0);
  EXPECT_FALSE(a.flat_b);
  EXPECT_TRUE(b.flat_b);
  EXPECT_EQ(b.a_mm, Vec3(50, 0, 0));
  EXPECT_EQ(b.length_mm(), 50);
  Eigen::Isometry3d pose = Eigen::Isometry3d::Identity();
  pose.translation() = Vec3(1, 2, 3);
  EXPECT_EQ(moved(b, pose).b_mm, Vec3(101, 2, 3));
}

}  // namespace
}  // namespace bight::clearance

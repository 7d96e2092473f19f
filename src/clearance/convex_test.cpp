#include "clearance/convex.h"

#include <gtest/gtest.h>

#include <cmath>

#include "clearance/sample_bender_test_util.h"

namespace bight::clearance {
namespace {

using geometry::Vec3;
using sample::uniform;

Vec3 random_point(std::mt19937_64& rng, double reach_mm) {
  return {uniform(rng, -reach_mm, reach_mm), uniform(rng, -reach_mm, reach_mm),
          uniform(rng, -reach_mm, reach_mm)};
}

// c1: one touched point bounds the distance everywhere from below, inside and outside, and nowhere
// does the distance change faster than the way.
template <typename Convex>
void expect_subgradients(const Convex& solid, std::mt19937_64& rng) {
  for (int i = 0; i < 2000; ++i) {
    const Vec3 p_mm = random_point(rng, 300);
    const Vec3 x_mm = random_point(rng, 300);
    const Touch at_p = solid.touch(p_mm);
    const Touch at_x = solid.touch(x_mm);
    EXPECT_GE(at_x.distance_mm, at_p.distance_mm + at_p.away.dot(x_mm - p_mm) - 1e-9);
    EXPECT_LE(std::abs(at_x.distance_mm - at_p.distance_mm), (x_mm - p_mm).norm() + 1e-9);
    EXPECT_LE(at_p.away.norm(), 1.0 + 1e-12);
  }
}

Eigen::Matrix3d some_axes() {
  return Eigen::AngleAxisd(0.7, Vec3(1, 2, 3).normalized()).toRotationMatrix();
}

TEST(Convex, SubgradientsBoundFromBelow) {
  std::mt19937_64 rng(7);
  const Box box{some_axes(), Vec3(10, 20, 30), Vec3(50, 80, 20)};
  const Cylinder cylinder{some_axes().col(2), Vec3(-10, 0, 5), 60, 90};
  const Prism prism{some_axes(), Vec3(5, 5, 5), {{-60, -40}, {70, -30}, {30, 80}}, 45};
  expect_subgradients(box, rng);
  expect_subgradients(cylinder, rng);
  expect_subgradients(prism, rng);
  expect_subgradients(HalfSpace{Vec3(0, 0.6, 0.8), 20}, rng);
  expect_subgradients(Triangle{Vec3(0, 0, 0), Vec3(100, 20, 0), Vec3(10, 90, 50)}, rng);
  expect_subgradients(Line{Vec3(0, 0, 0), Vec3(100, 20, 0)}, rng);
  // Axis, centre and edges: the places where the direction is not unique.
  EXPECT_EQ(cylinder.touch(cylinder.centre_mm).distance_mm, -60);
  EXPECT_EQ(box.touch(box.centre_mm).distance_mm, -20);
  EXPECT_EQ(Line({Vec3::Zero(), Vec3::Zero()}).touch(Vec3(3, 4, 0)).distance_mm, 5);
}

// Distances by hand.
TEST(Convex, DistancesByHand) {
  const Box box{Eigen::Matrix3d::Identity(), Vec3::Zero(), Vec3(10, 20, 30)};
  EXPECT_DOUBLE_EQ(box.touch(Vec3(13, 24, 0)).distance_mm, 5);
  EXPECT_DOUBLE_EQ(box.touch(Vec3(0, 19, 0)).distance_mm, -1);
  const Cylinder cylinder{Vec3::UnitZ(), Vec3::Zero(), 10, 20};
  EXPECT_DOUBLE_EQ(cylinder.touch(Vec3(13, 0, 24)).distance_mm, 5);
  EXPECT_DOUBLE_EQ(cylinder.touch(Vec3(0, 9, 0)).distance_mm, -1);
  const Prism prism{Eigen::Matrix3d::Identity(), Vec3::Zero(), {{0, 0}, {10, 0}, {0, 10}}, 5};
  EXPECT_NEAR(prism.touch(Vec3(10, 10, 0)).distance_mm, std::sqrt(50), 1e-12);
  EXPECT_NEAR(prism.touch(Vec3(-3, -4, 0)).distance_mm, 5, 1e-12);
  EXPECT_NEAR(prism.touch(Vec3(2, 1, 0)).distance_mm, -1, 1e-12);
  const Triangle triangle{Vec3(0, 0, 0), Vec3(10, 0, 0), Vec3(0, 10, 0)};
  EXPECT_NEAR(triangle.touch(Vec3(2, 2, 7)).distance_mm, 7, 1e-12);
  EXPECT_NEAR(triangle.touch(Vec3(13, -4, 0)).distance_mm, 5, 1e-12);
  EXPECT_NEAR(triangle.touch(Vec3(10, 10, 0)).distance_mm, std::sqrt(50), 1e-12);
}

// The bounds hold the solid and touch it.
TEST(Convex, Bounds) {
  const Cylinder cylinder{some_axes().col(2), Vec3(1, 2, 3), 60, 90};
  const Box box{some_axes(), Vec3(1, 2, 3), Vec3(50, 80, 20)};
  const Prism prism{some_axes(), Vec3(1, 2, 3), {{-60, -40}, {70, -30}, {30, 80}}, 45};
  const auto expect_tight = [](const auto& solid) {
    const Eigen::AlignedBox3d b = bounds_mm(solid);
    for (int axis = 0; axis < 3; ++axis) {
      for (const double side : {-1.0, 1.0}) {
        // Least distance over a plane of the bounds: nought.
        double least_mm = 1e9;
        for (double u = 0; u <= 1; u += 0.01) {
          for (double v = 0; v <= 1; v += 0.01) {
            Vec3 p_mm = b.min();
            p_mm[(axis + 1) % 3] += u * b.sizes()[(axis + 1) % 3];
            p_mm[(axis + 2) % 3] += v * b.sizes()[(axis + 2) % 3];
            p_mm[axis] = side < 0 ? b.min()[axis] : b.max()[axis];
            least_mm = std::min(least_mm, solid.touch(p_mm).distance_mm);
          }
        }
        EXPECT_GT(least_mm, -1e-9);
        EXPECT_LT(least_mm, 2.5);
      }
    }
  };
  expect_tight(cylinder);
  expect_tight(box);
  expect_tight(prism);
}

// The nearest share is nearest, for crossing, parallel and point-like lines.
TEST(Convex, NearestShare) {
  std::mt19937_64 rng(8);
  for (int i = 0; i < 1000; ++i) {
    const Vec3 a_mm = random_point(rng, 100);
    const Vec3 b_mm = i % 5 == 0 ? a_mm : random_point(rng, 100);
    const Vec3 c_mm = random_point(rng, 100);
    Vec3 d_mm = i % 7 == 0 ? c_mm : random_point(rng, 100);
    if (i % 3 == 0) d_mm = c_mm + (b_mm - a_mm) * uniform(rng, -2, 2);
    const Line other{c_mm, d_mm};
    const double s = nearest_share_ratio(a_mm, b_mm, other);
    ASSERT_GE(s, 0.0);
    ASSERT_LE(s, 1.0);
    const double found_mm = other.touch(a_mm + (b_mm - a_mm) * s).distance_mm;
    for (double t = 0; t <= 1; t += 0.01) {
      EXPECT_LE(found_mm, other.touch(a_mm + (b_mm - a_mm) * t).distance_mm + 1e-9);
    }
  }
}

}  // namespace
}  // namespace bight::clearance

#include "clearance/convex_parts.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace bight::clearance {
namespace {

using Eigen::Vector2d;

bool inside(const Outline& polygon, const Vector2d& p) {
  bool odd = false;
  for (std::size_t i = 0, j = polygon.size() - 1; i < polygon.size(); j = i++) {
    const Vector2d& a = polygon[i];
    const Vector2d& b = polygon[j];
    if ((a.y() > p.y()) != (b.y() > p.y()) &&
        p.x() < (b.x() - a.x()) * (p.y() - a.y()) / (b.y() - a.y()) + a.x()) {
      odd = !odd;
    }
  }
  return odd;
}

// The pieces are convex, share out the area, and a point is in the polygon when it is in one of
// them: stars of many shapes, either way round.
TEST(ConvexParts, StarsAreSharedOut) {
  std::mt19937_64 rng(9);
  const auto uniform = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(rng() >> 11) * 0x1p-53;
  };
  for (int round = 0; round < 200; ++round) {
    Outline star;
    const int num = 3 + round % 20;
    for (int i = 0; i < num; ++i) {
      const double turn = 2 * M_PI * i / num;
      const double r_mm = uniform(20, 200);
      star.emplace_back(r_mm * std::cos(turn), r_mm * std::sin(turn));
    }
    if (round % 2 == 1) std::reverse(star.begin(), star.end());
    const auto parts = convex_parts(star);
    ASSERT_TRUE(parts.has_value()) << round;
    double area_mm2 = 0.0;
    for (const Outline& part : *parts) {
      area_mm2 += twice_area_mm2(part);
      for (std::size_t i = 0; i < part.size(); ++i) {
        const Vector2d a = part[(i + 1) % part.size()] - part[i];
        const Vector2d b = part[(i + 2) % part.size()] - part[(i + 1) % part.size()];
        EXPECT_GE(a.x() * b.y() - a.y() * b.x(), 0.0);
      }
    }
    EXPECT_NEAR(area_mm2, std::abs(twice_area_mm2(star)), 1e-6 * area_mm2);
    for (int i = 0; i < 100; ++i) {
      const Vector2d p(uniform(-200, 200), uniform(-200, 200));
      bool in_part = false;
      for (const Outline& part : *parts) in_part = in_part || inside(part, p);
      EXPECT_EQ(in_part, inside(star, p));
    }
  }
}

// A convex outline stays one piece, an L becomes two, corners on a straight are dropped.
TEST(ConvexParts, FewPieces) {
  EXPECT_EQ(convex_parts({{0, 0}, {10, 0}, {10, 10}, {0, 10}})->size(), 1u);
  EXPECT_EQ(convex_parts({{0, 0}, {5, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}})->front().size(), 4u);
  EXPECT_EQ(convex_parts({{0, 0}, {20, 0}, {20, 5}, {5, 5}, {5, 20}, {0, 20}})->size(), 2u);
}

// What is no simple polygon is refused.
TEST(ConvexParts, NoPolygon) {
  EXPECT_FALSE(convex_parts({}).has_value());
  EXPECT_FALSE(convex_parts({{0, 0}, {10, 0}}).has_value());
  EXPECT_FALSE(convex_parts({{0, 0}, {10, 0}, {20, 0}}).has_value());
  EXPECT_FALSE(convex_parts({{0, 0}, {10, 10}, {10, 0}, {0, 10}}).has_value());
  EXPECT_FALSE(convex_parts({{0, 0}, {10, 0}, {10, 10}, {5, 0}, {0, 10}}).has_value());
}

}  // namespace
}  // namespace bight::clearance

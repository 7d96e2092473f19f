#include "geometry/feasible.h"

#include <gtest/gtest.h>

#include <random>

#include "geometry/corners.h"

namespace bight::geometry {
namespace {

using base::Angle;

// Two 90° corners 100 apart with R 60 each: the leg holds 100, so 20 mm must go; 50 fits both.
TEST(Feasible, SharedLegSharesTheReduction) {
  const FromCorners part = *to_bend_table(
      {Vec3(0, 0, 0), Vec3(200, 0, 0), Vec3(200, 100, 0), Vec3(0, 100, 0)}, {60, 60});
  const RadiusAnswer answer = largest_radii(*radius_problem(part.table, 0.0));
  ASSERT_TRUE(answer.possible);
  EXPECT_NEAR(answer.radii_mm[0] + answer.radii_mm[1], 100.0, 1e-6);
  EXPECT_NEAR(answer.largest_common_mm, 50.0, 1e-9);
}

// With a clamp of 40 mm between the bends, 30 fits both.
TEST(Feasible, LeastStraightCounts) {
  const FromCorners part = *to_bend_table(
      {Vec3(0, 0, 0), Vec3(200, 0, 0), Vec3(200, 100, 0), Vec3(0, 100, 0)}, {60, 60});
  const RadiusAnswer answer = largest_radii(*radius_problem(part.table, 40.0));
  EXPECT_NEAR(answer.largest_common_mm, 30.0, 1e-9);
  EXPECT_NEAR(answer.radii_mm[0] + answer.radii_mm[1], 60.0, 1e-6);
  EXPECT_FALSE(largest_radii(*radius_problem(part.table, 120.0)).possible);
}

TEST(Feasible, UBendsHaveNoCorner) {
  const BendTable u = *BendTable::make({{100, Angle(), Angle::degrees(180), 50}}, 100);
  EXPECT_FALSE(radius_problem(u, 0.0).has_value());
}

// Against brute force on a grid for two and three bends: no grid point that fits keeps more radius
// in total than the programme's answer, and the answer itself fits.
TEST(FeasibleOracle, NoGridPointBeatsTheProgramme) {
  std::mt19937_64 random(3);
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  for (int trial = 0; trial < 40; ++trial) {
    RadiusProblem p;
    const std::size_t n = 2 + static_cast<std::size_t>(trial % 2);
    for (std::size_t i = 0; i <= n; ++i) {
      p.leg_mm.push_back(40 + 160 * unit(random));
      p.least_straight_mm.push_back(20 * unit(random));
    }
    for (std::size_t i = 0; i < n; ++i) {
      p.tangent_ratio.push_back(0.2 + 2 * unit(random));
      p.wanted_mm.push_back(30 + 100 * unit(random));
    }
    const RadiusAnswer answer = largest_radii(p);
    ASSERT_TRUE(answer.possible);
    const auto fits = [&](const std::vector<double>& r, double slack) {
      for (std::size_t leg = 0; leg <= n; ++leg) {
        double used = p.least_straight_mm[leg];
        if (leg > 0) used += p.tangent_ratio[leg - 1] * r[leg - 1];
        if (leg < n) used += p.tangent_ratio[leg] * r[leg];
        if (used > p.leg_mm[leg] + slack) return false;
      }
      return true;
    };
    ASSERT_TRUE(fits(answer.radii_mm, 1e-6));
    double best_mm = 0.0;
    for (const double r : answer.radii_mm) best_mm += r;
    std::vector<double> r(n);
    const int steps = 24;
    for (int code = 0; code < (n == 2 ? steps * steps : steps * steps * steps); ++code) {
      int rest = code;
      double sum_mm = 0.0;
      for (std::size_t i = 0; i < n; ++i) {
        r[i] = p.wanted_mm[i] * (rest % steps) / (steps - 1);
        rest /= steps;
        sum_mm += r[i];
      }
      if (fits(r, 0.0)) {
        ASSERT_LE(sum_mm, best_mm + 1e-6);
      }
    }
  }
}

}  // namespace
}  // namespace bight::geometry

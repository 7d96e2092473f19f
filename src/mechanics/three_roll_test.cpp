#include "mechanics/three_roll.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <numbers>

namespace bight::mechanics {
namespace {

// Elastic-perfectly-plastic round tube by its closed form, written here so that nothing of the
// engine under test is used: M of a solid disc of the outer radius less that of the bore.
RollBar perfect_tube(double od_mm, double wall_mm, double youngs_mpa, double yield_mpa) {
  const auto disc_nmm = [=](double radius_mm, double kappa_per_mm) {
    const double core_mm = yield_mpa / (youngs_mpa * kappa_per_mm);
    const double eta = core_mm / radius_mm;
    if (eta >= 1) {
      return youngs_mpa * std::numbers::pi / 4 * std::pow(radius_mm, 4) * kappa_per_mm;
    }
    const double phi = std::asin(eta);
    return yield_mpa * std::pow(radius_mm, 3) *
           ((phi - std::sin(4 * phi) / 4) / (2 * eta) + 4.0 / 3 * std::pow(1 - eta * eta, 1.5));
  };
  const double inertia_mm4 =
      std::numbers::pi / 64 * (std::pow(od_mm, 4) - std::pow(od_mm - 2 * wall_mm, 4));
  return RollBar{od_mm, youngs_mpa * inertia_mm4, [=](double kappa_per_mm) {
                   if (kappa_per_mm == 0) return 0.0;
                   return disc_nmm(od_mm / 2, kappa_per_mm) -
                          disc_nmm(od_mm / 2 - wall_mm, kappa_per_mm);
                 }};
}

constexpr RollMachine kRolls{300, 160, 160};

struct TableRow {
  double od_mm, wall_mm, yield_mpa, released_mm;
  double loaded_mm, travel_mm, travel_unsprung_mm;
  double entry_mm, exit_mm, mean_mm, circle_mm, force_kn;
};
// Derived and computed independently of this program from the stated equations (E 205 GPa,
// perfectly plastic, span a = 150, rolls of radius 80): circle travel with and without
// springback, first-order entry and exit offsets, their mean, a²/(2R), and 2 Mmax / a.
constexpr std::array<TableRow, 3> kTable{
    {{50.8, 3.0, 250, 5000, 3782.24, 2.8949, 2.2040, 0.586, 2.733, 1.660, 2.974, 22.7},
     {50.8, 3.0, 250, 2000, 1770.82, 6.0057, 5.3502, 0.620, 6.110, 3.365, 6.353, 22.8},
     {42.4, 2.6, 235, 1500, 1351.84, 7.7631, 7.0415, 0.705, 8.048, 4.376, 8.322, 12.9}}};

TEST(ThreeRoll, ReproducesWorkedTable) {
  // Proves springback inversion, circle travel and first-order deflections on three tubes.
  for (const TableRow& row : kTable) {
    const RollBar bar = perfect_tube(row.od_mm, row.wall_mm, 205000, row.yield_mpa);
    const auto loaded = loaded_clr_mm(bar, row.released_mm);
    ASSERT_TRUE(loaded.ok());
    EXPECT_NEAR(*loaded, row.loaded_mm, 0.01);
    EXPECT_NEAR(*circle_travel_mm(kRolls, RollBar{row.od_mm, 0.0, {}}, row.loaded_mm),
                row.travel_mm, 1e-4);
    EXPECT_NEAR(*circle_travel_mm(kRolls, RollBar{row.od_mm, 0.0, {}}, row.released_mm),
                row.travel_unsprung_mm, 1e-4);
    const auto offset = roll_deflection(kRolls, bar, *loaded, std::nullopt);
    ASSERT_TRUE(offset.ok());
    EXPECT_NEAR(offset->entry_mm, row.entry_mm, 1e-3);
    EXPECT_NEAR(offset->exit_mm, row.exit_mm, 1e-3);
    EXPECT_NEAR(offset->mean_mm(), row.mean_mm, 1e-3);
    const double ratio = row.circle_mm / offset->mean_mm();
    EXPECT_GT(ratio, 1.75);
    EXPECT_LT(ratio, 1.95);
    EXPECT_NEAR(2 * bar.moment_nmm(1 / *loaded) / 150 / 1000, row.force_kn, 0.06);
  }
}

// Oracle: the same bar between the same rolls by marching its shape in small steps of length from
// the bottom contact, the curvature found at each step by bisection of the law. Other variable
// (arc length), other unknown handling (lever arm by shooting), no quadrature over curvature.
struct Marched {
  double along_mm, rise_mm, slope_rad;
};
template <typename Curvature>
Marched march(const Curvature& curvature_at_share, double arm_mm) {
  const int steps = 40000;
  const double step_mm = arm_mm * 1.2 / steps;
  double xi = 0, eta = 0, psi = 0;
  while (xi < arm_mm) {
    const double half = psi + step_mm / 2 * curvature_at_share(std::min(1.0, xi / arm_mm));
    const double ds = std::min(step_mm, (arm_mm - xi) / std::cos(half) + 1e-12);
    const double middle = std::min(1.0, (xi + ds / 2 * std::cos(half)) / arm_mm);
    const double kappa = curvature_at_share(middle);
    xi += ds * std::cos(psi + ds / 2 * kappa);
    eta += ds * std::sin(psi + ds / 2 * kappa);
    psi += ds * kappa;
  }
  return {arm_mm * std::cos(psi) + eta * std::sin(psi),
          arm_mm * std::sin(psi) - eta * std::cos(psi), psi};
}

TEST(ThreeRoll, ShapeAgreesWithMarchedBar) {
  // Proves the finite-slope contact solution: with the lever arms it reports, a bar marched in
  // arc length meets both bottom rolls at the stated spacing and the top roll at the position.
  const RollBar bar = perfect_tube(42.4, 2.6, 205000, 235);
  for (const double released_mm : {1500.0, 600.0, 400.0}) {
    const auto pass = roll_to_radius(kRolls, bar, released_mm, std::nullopt);
    ASSERT_TRUE(pass.ok()) << pass.failure().text();
    const double kappa_i = 1 / pass->loaded_clr_mm;
    const double most = bar.moment_nmm(kappa_i);
    const auto loading = [&](double share) {
      double low = 0, high = kappa_i;
      for (int i = 0; i < 50; ++i) {
        const double middle = (low + high) / 2;
        (bar.moment_nmm(middle) < share * most ? low : high) = middle;
      }
      return high;
    };
    const auto unloading = [&](double share) {
      return kappa_i - most * (1 - share) / bar.stiffness_nmm2;
    };
    const Marched in = march(loading, pass->entry_arm_mm);
    const Marched out = march(unloading, pass->exit_arm_mm);
    const double reach = 80 + 42.4 / 2;
    const double left_x = -(in.along_mm + reach * std::sin(in.slope_rad));
    const double left_y = in.rise_mm - reach * std::cos(in.slope_rad);
    const double right_x = out.along_mm + reach * std::sin(out.slope_rad);
    const double right_y = out.rise_mm - reach * std::cos(out.slope_rad);
    EXPECT_NEAR(std::hypot(right_x - left_x, right_y - left_y), 300, 2e-3);
    const double to_left = std::hypot(left_x, left_y - reach);
    const double to_right = std::hypot(right_x, right_y - reach);
    EXPECT_NEAR(to_left, to_right, 2e-3);
    EXPECT_NEAR(pass->position_mm, 160 + 42.4 - std::sqrt(to_left * to_left - 150 * 150.0), 4e-3);
    EXPECT_NEAR(pass->released_clr_mm, released_mm, 1e-6 * released_mm);
  }
}

TEST(ThreeRoll, SoftBarFollowsCircle) {
  // Proves the contact geometry against plane geometry: a bar that is already curved and barely
  // loaded is a circular arc, so its touching position is the closed form of the circle.
  RollBar bar = perfect_tube(42.4, 2.6, 205000, 235);
  const double radius_mm = 900;
  const double kept_mm = 1 / (1 / radius_mm - bar.moment_nmm(1 / radius_mm) / bar.stiffness_nmm2);
  const double circle_mm = *circle_travel_mm(kRolls, RollBar{42.4, 0.0, {}}, kept_mm);
  const auto touched = roll_at_position(kRolls, bar, circle_mm + 0.01, kept_mm);
  ASSERT_TRUE(touched.ok()) << touched.failure().text();
  EXPECT_NEAR(touched->loaded_clr_mm, kept_mm, kept_mm * 0.01);
  EXPECT_NEAR(touched->released_clr_mm, kept_mm, 1e-6 * kept_mm);  // still elastic
  EXPECT_EQ(roll_at_position(kRolls, bar, circle_mm - 0.01, kept_mm).failure().code,
            "roll.position");
}

TEST(ThreeRoll, PositionAndRadiusAreInverse) {
  // Proves that the position for a radius gives that radius back, from straight and bent stock.
  const RollBar bar = perfect_tube(50.8, 3.0, 205000, 250);
  for (const std::optional<double> incoming_mm : {std::optional<double>(), std::optional(4000.0)}) {
    const auto pass = roll_to_radius(kRolls, bar, 1500, incoming_mm);
    ASSERT_TRUE(pass.ok());
    const auto back = roll_at_position(kRolls, bar, pass->position_mm, incoming_mm);
    ASSERT_TRUE(back.ok());
    EXPECT_NEAR(back->released_clr_mm, 1500, 0.1);
  }
}

TEST(ThreeRoll, StaysStraightInTheElasticRange) {
  // Proves that a small travel leaves straight stock straight.
  const auto pass =
      roll_at_position(kRolls, perfect_tube(50.8, 3.0, 205000, 250), 0.3, std::nullopt);
  ASSERT_TRUE(pass.ok());
  EXPECT_TRUE(std::isinf(pass->released_clr_mm));
}

TEST(ThreeRoll, BentBarNeedsMoreTravel) {
  // Proves the memory of earlier passes: a bar that comes in bent enters along its own arc, so it
  // needs more travel for the same radius, and at the old position it is not even touched.
  const RollBar bar = perfect_tube(50.8, 3.0, 205000, 250);
  const auto straight = roll_to_radius(kRolls, bar, 2000, std::nullopt);
  const auto bent = roll_to_radius(kRolls, bar, 2000, 2500.0);
  EXPECT_GT(bent->position_mm, straight->position_mm + 1);
  EXPECT_LT(bent->position_mm,
            *circle_travel_mm(kRolls, RollBar{50.8, 0.0, {}}, bent->loaded_clr_mm));
  EXPECT_EQ(roll_at_position(kRolls, bar, straight->position_mm, 2500.0).failure().code,
            "roll.position");
}

TEST(ThreeRoll, PassesTightenToTheTarget) {
  // Proves a plan of passes: positions rise, radii fall, the last leaves the target.
  const RollBar bar = perfect_tube(42.4, 2.6, 205000, 235);
  const auto passes = plan_passes(kRolls, bar, 800, 4);
  ASSERT_TRUE(passes.ok()) << passes.failure().text();
  ASSERT_EQ(passes->size(), 4u);
  for (std::size_t i = 1; i < passes->size(); ++i) {
    EXPECT_GT((*passes)[i].position_mm, (*passes)[i - 1].position_mm);
    EXPECT_LT((*passes)[i].released_clr_mm, (*passes)[i - 1].released_clr_mm);
  }
  EXPECT_NEAR(passes->back().released_clr_mm, 800, 1e-3);
  EXPECT_DOUBLE_EQ(passes->back().flat_mm, 150);
  EXPECT_NEAR(passes->back().released_band.low_mm, 800 / 1.15, 0.01);
}

TEST(ThreeRoll, PassesGoOnFromABentBar) {
  // Proves that a plan continues from the radius the bar has, in equal steps of curvature.
  const RollBar bar = perfect_tube(42.4, 2.6, 205000, 235);
  const auto passes = plan_passes(kRolls, bar, 1000, 2, 2000.0);
  ASSERT_TRUE(passes.ok()) << passes.failure().text();
  EXPECT_NEAR(1 / passes->front().released_clr_mm, (1.0 / 2000 + 1.0 / 1000) / 2, 1e-9);
  EXPECT_NEAR(passes->front().position_mm,
              roll_to_radius(kRolls, bar, passes->front().released_clr_mm, 2000.0)->position_mm,
              1e-6);
  EXPECT_EQ(plan_passes(kRolls, bar, 2500, 2, 2000.0).failure().code, "roll.radius");
}

TEST(ThreeRoll, RefusesWhatCannotBeRolled) {
  // Proves the failure codes.
  const RollBar bar = perfect_tube(42.4, 2.6, 205000, 235);
  EXPECT_EQ(roll_to_radius({100, 160, 160}, bar, 800, {}).failure().code, "roll.machine");
  EXPECT_EQ(roll_to_radius(kRolls, RollBar{}, 800, {}).failure().code, "roll.bar");
  EXPECT_EQ(roll_to_radius(kRolls, bar, 90, {}).failure().code, "roll.radius");
  EXPECT_EQ(roll_to_radius(kRolls, bar, 800, 700.0).failure().code, "roll.radius");
  EXPECT_EQ(roll_to_radius(kRolls, bar, 800, -1.0).failure().code, "roll.radius");
  EXPECT_EQ(roll_at_position(kRolls, bar, 0, {}).failure().code, "roll.position");
  EXPECT_EQ(roll_at_position(kRolls, bar, 500, {}).failure().code, "roll.no-solution");
  EXPECT_EQ(plan_passes(kRolls, bar, 800, 0).failure().code, "roll.passes");
  EXPECT_EQ(circle_travel_mm(kRolls, RollBar{42.4, 0.0, {}}, 50).failure().code, "roll.radius");
  EXPECT_EQ(roll_deflection(kRolls, bar, 3000, 2000.0).failure().code, "roll.radius");
}

}  // namespace
}  // namespace bight::mechanics

#include "mechanics/closed_forms.h"

#include <gsl/gsl_integration.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <array>
#include <cmath>
#include <functional>
#include <numbers>

namespace bight::mechanics {
namespace {

using std::numbers::pi;
using stock::Section;

Section tube(double od_mm, double wall_mm) { return *Section::round_tube(od_mm, wall_mm); }

// The oracle: adaptive Gauss-Kronrod quadrature (GNU Scientific Library) of s(y/R) y b(y), b(y)
// the width of the section at height y, split at every kink. Shares no code with the closed forms.
double quadrature(double from, double to, const std::function<double(double)>& f) {
  gsl_integration_workspace* space = gsl_integration_workspace_alloc(2000);
  gsl_function g{
      [](double y, void* p) { return (*static_cast<const std::function<double(double)>*>(p))(y); },
      const_cast<std::function<double(double)>*>(&f)};
  double value = 0.0;
  double error = 0.0;
  gsl_integration_qags(&g, from, to, 0.0, 1e-10, 2000, space, &value, &error);
  gsl_integration_workspace_free(space);
  return value;
}

double width_of(const Section& s, double y) {
  const auto disc = [&](double radius) {
    return std::abs(y) < radius ? 2.0 * std::sqrt(radius * radius - y * y) : 0.0;
  };
  const double c = s.height_mm() / 2.0;
  switch (s.kind()) {
    case stock::SectionKind::kRoundBar:
      return disc(c);
    case stock::SectionKind::kRoundTube:
      return disc(c) - disc(c - s.wall_mm());
    case stock::SectionKind::kRectBar:
      return s.width_mm();
    default:
      return std::abs(y) < c - s.wall_mm() ? 2.0 * s.wall_mm() : s.width_mm();
  }
}

double oracle_moment(const Section& s, double radius_mm, double kink_strain,
                     const std::function<double(double)>& stress) {
  const double c = s.height_mm() / 2.0;
  std::vector<double> cuts{0.0, c - s.wall_mm(), kink_strain * radius_mm, c};
  std::sort(cuts.begin(), cuts.end());
  double half = 0.0;
  for (std::size_t i = 1; i < cuts.size(); ++i) {
    if (cuts[i] > c || cuts[i] <= cuts[i - 1]) continue;
    half += quadrature(cuts[i - 1], cuts[i],
                       [&](double y) { return stress(y / radius_mm) * y * width_of(s, y); });
  }
  return 2.0 * half;
}

struct Vector {
  const char* id;
  Section section;
  double youngs_mpa, yield_mpa, radius_mm;
  double moment_nm, q, released_mm, kept_deg;  // kept: what 90 degrees loaded end at
};

std::vector<Vector> perfect_vectors() {
  return {
      {"T1", tube(38.1, 1.65), 205e3, 350, 114.3, 767.7774, 0.013615, 115.8776, 88.7747},
      {"T2", tube(33.4, 3.38), 205e3, 300, 100.2, 917.6641, 0.012334, 101.4513, 88.8899},
      {"T3", tube(50.8, 1.651), 68.9e3, 276, 152.4, 1101.0428, 0.031603, 157.3735, 87.1557},
      {"T4", tube(25.4, 1.65), 193e3, 290, 50.8, 270.3363, 0.008158, 51.2178, 89.2658},
      {"T5", tube(12.7, 0.66), 107e3, 655, 38.1, 62.7140, 0.049217, 40.0723, 85.5704},
      {"T6", tube(50.8, 3.0), 205e3, 250, 5000, 1697.1032, 0.320444, 7357.7462, 61.1600},
      {"S1", *Section::round_bar(20), 205e3, 350, 60, 466.6422, 0.017390, 61.0618, 88.4349},
      {"S2", *Section::round_bar(20), 205e3, 350, 1000, 459.8950, 0.285637, 1399.8492, 64.2926},
      {"B1", *Section::rect_tube(40, 40, 3, 0), 205e3, 355, 160, 2191.7155, 0.016775, 162.7298,
       88.4902},
      {"B2", *Section::rect_tube(25, 50, 2, 0), 68.9e3, 170, 500, 465.6250, 0.114141, 564.4239,
       79.7273},
  };
}

// Perfectly plastic vectors: derived from the stated assumptions and cross-checked there with a
// second quadrature; printed digits bound the tolerance.
TEST(ClosedFormsReference, PerfectlyPlasticVectors) {
  for (const Vector& v : perfect_vectors()) {
    const double moment = *perfect_moment_nmm(v.section, v.youngs_mpa, v.yield_mpa, v.radius_mm);
    EXPECT_NEAR(moment / 1000.0, v.moment_nm, 1e-5 * v.moment_nm) << v.id;
    const double q = springback_ratio(v.section, v.youngs_mpa, moment, v.radius_mm);
    EXPECT_NEAR(q, v.q, 6e-7) << v.id;
    EXPECT_NEAR(released_radius_mm(v.radius_mm, q), v.released_mm, 1e-5 * v.released_mm) << v.id;
    EXPECT_NEAR(90.0 * (1.0 - q), v.kept_deg, 6e-5) << v.id;
  }
}

// S3: a bar close to its elastic limit (5857.1 mm) keeps 1.4 % of its curvature.
TEST(ClosedFormsReference, NearlyElasticBar) {
  const Section bar = *Section::round_bar(20);
  const double moment = *perfect_moment_nmm(bar, 205e3, 350, 5000);
  EXPECT_NEAR(moment / 1000.0, 317.3378, 1e-5 * 317.3378);
  const double q = springback_ratio(bar, 205e3, moment, 5000);
  EXPECT_NEAR(q, 0.985481, 6e-7);
  EXPECT_NEAR(released_radius_mm(5000, q), 344368, 344368 * 1e-5 / (1 - q));
  EXPECT_NEAR(elastic_radius_mm(20, 205e3, 350), 5857.1, 0.05);
  EXPECT_NEAR(*perfect_moment_nmm(bar, 205e3, 350, 7000), 205e3 * bar.second_moment_mm4() / 7000,
              1e-6);
}

// T1b: bilinear with Et = E/100. T1h, T4h, H3: Hollomon without elastic core.
TEST(ClosedFormsReference, HardeningVectors) {
  const double bilinear = *bilinear_moment_nmm(tube(38.1, 1.65), 205e3, 350, 2050, 114.3);
  EXPECT_NEAR(bilinear / 1000.0, 1324.0398, 1324.0398e-5);
  EXPECT_NEAR(springback_ratio(tube(38.1, 1.65), 205e3, bilinear, 114.3), 0.023478, 6e-7);
  struct Row {
    const char* id;
    Section section;
    double youngs_mpa, strength_mpa, n, radius_mm, moment_nm, q, released_mm;
  };
  const Row rows[] = {
      {"T1h", tube(38.1, 1.65), 205e3, 550, 0.20, 114.3, 788.7529, 0.013986, 115.9213},
      {"T4h", tube(25.4, 1.65), 193e3, 1275, 0.45, 50.8, 547.3236, 0.016517, 51.6531},
      {"H3", tube(25.4, 1.65), 70.3e3, 200, 0.22, 50.8, 127.1522, 0.010534, 51.3408}};
  for (const Row& v : rows) {
    const double moment = *hollomon_moment_nmm(v.section, v.strength_mpa, v.n, v.radius_mm);
    EXPECT_NEAR(moment / 1000.0, v.moment_nm, 1e-5 * v.moment_nm) << v.id;
    const double q = springback_ratio(v.section, v.youngs_mpa, moment, v.radius_mm);
    EXPECT_NEAR(q, v.q, 6e-7) << v.id;
    EXPECT_NEAR(released_radius_mm(v.radius_mm, q), v.released_mm, 1e-5 * v.released_mm) << v.id;
  }
}

// Strip, public engineering page: Sy 300, E 210e3, R 50, t 2: X 0.035714, Ri/Rf 0.893039,
// Rf 55.9886, 9.6265 of 90 degrees lost (value computed from the page's formula and inputs).
TEST(ClosedFormsReference, StripSpringback) {
  const double ratio = strip_release_ratio(210e3, 300, 50, 2);
  EXPECT_NEAR(ratio, 0.893039, 5e-7);
  EXPECT_NEAR(50 / ratio, 55.9886, 5e-5);
  EXPECT_NEAR(90 * (1 - ratio), 9.6265, 5e-5);
  EXPECT_EQ(strip_release_ratio(210e3, 300, 1000, 2), 0.0);
  // A flat bar of any width is that strip.
  const Section strip = *Section::rect_bar(2, 37);
  EXPECT_NEAR(1 - springback_ratio(strip, 210e3, *perfect_moment_nmm(strip, 210e3, 300, 50), 50),
              ratio, 1e-12);
}

// Thin-tube closed form against the thick one, both printed to six digits: T1 0.986367 against
// 0.986385, T6 0.678720 against 0.679556.
TEST(ClosedFormsReference, ThinTube) {
  EXPECT_NEAR(thin_tube_release_ratio(205e3, 350, 114.3, (38.1 - 1.65) / 2), 0.986367, 6e-7);
  EXPECT_NEAR(thin_tube_release_ratio(205e3, 250, 5000, (50.8 - 3.0) / 2), 0.678720, 6e-7);
  const double r = 23.9;
  const double moment = thin_tube_perfect_moment_nmm(r, 3, 205e3, 250, 5000);
  EXPECT_NEAR(1 - moment * 5000 / (205e3 * pi * r * r * r * 3), 0.678720, 6e-7);
  // A tube of vanishing wall: thick and thin agree, perfect and power law alike.
  EXPECT_NEAR(*perfect_moment_nmm(tube(50, 0.002), 205e3, 300, 400) /
                  thin_tube_perfect_moment_nmm(24.999, 0.002, 205e3, 300, 400),
              1.0, 1e-6);
  EXPECT_NEAR(*hollomon_moment_nmm(tube(50, 0.002), 500, 0.3, 400) /
                  thin_tube_hollomon_moment_nmm(24.999, 0.002, 500, 0.3, 400),
              1.0, 1e-6);
}

// Every closed form against adaptive quadrature, over sizes, radii and laws drawn at random.
RC_GTEST_PROP(ClosedFormsProperty, AgreeWithAdaptiveQuadrature, ()) {
  const double size = *rc::gen::inRange(80, 1200) / 10.0;
  const double other = *rc::gen::inRange(80, 1200) / 10.0;
  const double wall = std::min(size, other) * *rc::gen::inRange(1, 48) / 100.0;
  const double radius = size * std::pow(10.0, *rc::gen::inRange(10, 300) / 100.0);
  const double yield = *rc::gen::inRange(50, 900);
  const double tangent = *rc::gen::inRange(0, 5000);
  const double n = *rc::gen::inRange(0, 60) / 100.0;
  const double youngs = 2e5;
  for (const Section& s :
       {tube(size, wall), *Section::round_bar(size), *Section::rect_bar(size, other),
        *Section::rect_tube(size, other, wall, 0)}) {
    const double limit = yield / youngs;
    const double bilinear = *bilinear_moment_nmm(s, youngs, yield, tangent, radius);
    const double bilinear_oracle = oracle_moment(s, radius, limit, [&](double e) {
      return e < limit ? youngs * e : yield + tangent * (e - limit);
    });
    RC_ASSERT(std::abs(bilinear / bilinear_oracle - 1) < 1e-6);
    const double power = *hollomon_moment_nmm(s, yield, n, radius);
    const double power_oracle =
        oracle_moment(s, radius, 0.0, [&](double e) { return yield * std::pow(e, n); });
    RC_ASSERT(std::abs(power / power_oracle - 1) < 1e-6);
  }
}

// Force-moment interaction of a thin ring: cos(pi/4) at half the yield force.
TEST(ClosedFormsReference, AxialForceFactor) {
  EXPECT_NEAR(axial_force_factor_ratio(0.5), 0.7071, 5e-5);
  EXPECT_DOUBLE_EQ(axial_force_factor_ratio(0), 1.0);
  EXPECT_EQ(axial_force_factor_ratio(-1.5), 0.0);
}

// A rectangle pulled to a share n of its yield force keeps 1 - n^2 of its plastic moment: the pull
// takes the middle n h, leaving (h^2 - (n h)^2)/4 (by hand).
TEST(ClosedFormsReference, AxialForceFactorOfARectangle) {
  EXPECT_DOUBLE_EQ(rectangle_axial_factor_ratio(0.5), 0.75);
  EXPECT_DOUBLE_EQ(rectangle_axial_factor_ratio(-0.6), 0.64);
  EXPECT_EQ(rectangle_axial_factor_ratio(1.2), 0.0);
}

// Tang 2000, k_T = 2: -0.02716, -0.10536, -0.22314 at 30, 60, 90 degrees from the outside, near to
// the simple form -(1 - cos a)/(2 k_T + 1): -0.02679, -0.10000, -0.20000 (equation read, values
// computed from it).
TEST(ClosedFormsReference, HoopStressOfABend) {
  for (const auto& [deg, exact, simple] :
       {std::array{30.0, -0.02716, -0.02679}, std::array{60.0, -0.10536, -0.10000},
        std::array{90.0, -0.22314, -0.20000}}) {
    const double ratio = *hoop_stress_ratio(2.0, base::Angle::degrees(deg));
    EXPECT_NEAR(ratio, exact, 5e-6);
    EXPECT_NEAR(ratio, simple, 0.12 * std::abs(simple));
  }
  EXPECT_NEAR(*hoop_stress_ratio(2.0, base::Angle{}), 0.0, 1e-15);
  EXPECT_EQ(hoop_stress_ratio(1.0, base::Angle{}).failure().code, "closed.input");
  EXPECT_EQ(hoop_stress_ratio(2.0, base::Angle::degrees(120)).failure().code, "closed.input");
}

// Full plastic moments at 350 MPa of common stock, Z and S computed from (D^3-d^3)/6, d^3/6, a^3/4
// and the box difference (handbook formulas; the shape factor that reads 32 for 16 is a misprint).
TEST(ClosedFormsReference, PlasticMoments) {
  struct Row {
    Section section;
    double plastic_mm3, elastic_mm3, moment_nm;
  };
  for (const Row& v : {Row{tube(25.4, 1.65), 932.200, 686.787, 326.270},
                       Row{tube(38.1, 3.05), 3756.390, 2727.753, 1314.737},
                       Row{tube(60.3, 3.91), 12453.069, 9175.688, 4358.574},
                       Row{*Section::round_bar(20), 1333.333, 785.398, 466.667},
                       Row{*Section::round_bar(25), 2604.167, 1533.981, 911.458},
                       Row{*Section::rect_bar(20, 20), 2000, 1333.333, 700.0},
                       Row{*Section::rect_tube(40, 40, 3, 0), 6174, 5098.6, 2160.9},
                       Row{*Section::rect_tube(50, 25, 2, 0), 4516, 3603.147, 1580.6}}) {
    EXPECT_NEAR(v.section.plastic_modulus_mm3(), v.plastic_mm3, 6e-4);
    EXPECT_NEAR(v.section.elastic_modulus_mm3(), v.elastic_mm3, 6e-4);
    // No elastic core left to speak of.
    EXPECT_NEAR(*perfect_moment_nmm(v.section, 205e3, 350, 1e-3) / 1000, v.moment_nm, 6e-4);
  }
}

// Published worked example, tube of 0.25 in in metal 347: yield strain 0.0011 at R 113.6 in,
// 0.2 % at 62.5 in (250 OD); table 0.100, 0.450, 0.500 in -> 25, 112.5, 125 in.
TEST(ClosedFormsReference, RadiusForStrain) {
  EXPECT_NEAR(radius_for_strain_mm(0.25, 0.0011), 113.6, 0.05);
  EXPECT_NEAR(radius_for_strain_mm(0.25, 0.002), 62.5, 1e-9);
  EXPECT_NEAR(radius_for_strain_mm(0.1, 0.002), 25.0, 1e-9);
  EXPECT_NEAR(radius_for_strain_mm(0.45, 0.002), 112.5, 1e-9);
  EXPECT_NEAR(radius_for_strain_mm(0.5, 0.002), 125.0, 1e-9);
  EXPECT_NEAR(elastic_radius_mm(0.25, 28e6, 30e3), 116.67, 5e-3);
}

// Required elongation of the outer fibre at 1.5, 2 and 3 D: 33.3, 25, 16.7 % (trade sheets, two
// independent). Trade wall thinning at R 101.6, D 50.8, wall 1.65: 20.0 %, 1.320 mm left.
TEST(ClosedFormsReference, TradeFormulas) {
  EXPECT_NEAR(simple_outer_strain_ratio(1, 1.5), 0.333, 5e-4);
  EXPECT_NEAR(simple_outer_strain_ratio(1, 2), 0.25, 1e-12);
  EXPECT_NEAR(simple_outer_strain_ratio(1, 3), 0.167, 5e-4);
  EXPECT_NEAR(1 - trade_outer_wall_ratio(50.8, 101.6), 0.200, 1e-12);
  EXPECT_NEAR(1.65 * trade_outer_wall_ratio(50.8, 101.6), 1.320, 1e-9);
}

// Rigid-plastic tube, four sizes: shift, elongation, cut length of 90 degrees, walls (derived;
// the shift was checked there against a numerical root, the length against its own ODE).
TEST(ClosedFormsReference, RigidTubeTable) {
  struct Row {
    double od, wall, R, shift, elongation, cut, outer, inner;
  };
  for (const Row& v : {Row{50.8, 1.65, 101.6, 5.944, 0.03060, 154.854, 0.7813, 1.2799},
                       Row{60.3, 3.91, 90.45, 8.789, 0.05244, 134.999, 0.7244, 1.3805},
                       Row{25.4, 1.65, 50.8, 2.776, 0.02850, 77.586, 0.7881, 1.2689},
                       Row{38.1, 1.65, 114.3, 2.906, 0.01296, 177.245, 0.8514, 1.1745}}) {
    const RigidTube tube_at = rigid_tube((v.od - v.wall) / 2, v.R);
    EXPECT_NEAR(tube_at.neutral_shift_mm, v.shift, 6e-4);
    EXPECT_NEAR(tube_at.stretch_ratio, v.elongation, 6e-6);
    EXPECT_NEAR(pi / 2 * v.R / (1 + tube_at.stretch_ratio), v.cut, 6e-4);
    EXPECT_NEAR(tube_at.wall_outer_ratio, v.outer, 6e-5);
    EXPECT_NEAR(tube_at.wall_inner_ratio, v.inner, 6e-5);
    EXPECT_NEAR(tube_at.wall_outer_ratio * tube_at.wall_inner_ratio, 1.0, 1e-12);
  }
}

// The elongation closed form solves its own history, dL = (r^2/R) d(theta) with R = L/theta,
// integrated here by Runge-Kutta: L0 100, r 24.575, theta 0.9 -> 102.41672.
TEST(ClosedFormsReference, RigidTubeHistory) {
  const double r = 24.575;
  double length = 100.0;
  const int steps = 20000;
  const double h = 0.9 / steps;
  const auto slope = [&](double theta, double l) { return r * r * theta / l; };
  for (int i = 0; i < steps; ++i) {
    const double theta = i * h;
    const double k1 = slope(theta, length);
    const double k2 = slope(theta + h / 2, length + h / 2 * k1);
    const double k3 = slope(theta + h / 2, length + h / 2 * k2);
    const double k4 = slope(theta + h, length + h * k3);
    length += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4);
  }
  EXPECT_NEAR(length, 102.41672, 5e-6);
  EXPECT_NEAR(100 * (1 + rigid_tube(r, length / 0.9).stretch_ratio), length, 1e-9);
}

// A channel on edge with sharp corners is the box of one web: 100 x 50, web 6, flanges 8.5, Sy 250:
// fully plastic 250 (50 100^2 - 44 83^2)/4 = 250 x 49221 (by hand).
TEST(ClosedFormsReference, ChannelOnEdge) {
  const Section channel = *Section::channel(100, 50, 6, 8.5);
  EXPECT_NEAR(channel.plastic_modulus_mm3(), 49221.0, 1e-9);
  EXPECT_NEAR(*perfect_moment_nmm(channel, 205e3, 250, 1e-3), 250 * 49221.0, 1.0);
  EXPECT_EQ(perfect_moment_nmm(channel.turned(), 205e3, 250, 500).failure().code, "closed.section");
  EXPECT_EQ(perfect_moment_nmm(*Section::angle(50, 50, 5), 205e3, 250, 500).failure().code,
            "closed.section");
}

TEST(ClosedForms, RefusesNonsense) {
  EXPECT_EQ(perfect_moment_nmm(tube(40, 2), -1, 350, 100).failure().code, "closed.input");
  EXPECT_EQ(perfect_moment_nmm(tube(40, 2), 2e5, 350, std::nan("")).failure().code, "closed.input");
  EXPECT_EQ(bilinear_moment_nmm(tube(40, 2), 2e5, 350, 3e5, 100).failure().code, "closed.input");
  EXPECT_EQ(hollomon_moment_nmm(tube(40, 2), 500, 1.5, 100).failure().code, "closed.input");
  EXPECT_EQ(perfect_moment_nmm(*Section::rect_tube(40, 40, 3, 5), 2e5, 350, 100).failure().code,
            "closed.section");
}

}  // namespace
}  // namespace bight::mechanics

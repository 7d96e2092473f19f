#include "mechanics/closed_forms.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "base/positive.h"

namespace bight::mechanics {

using base::positive;

namespace {

using std::numbers::pi;
using stock::Section;
using stock::SectionKind;

base::Failure not_positive(const char* what, double value) {
  return {"closed.input", what, fmt::format("{} cannot be", value),
          "positive, finite numbers in mm and MPa"};
}

base::Failure no_closed_form() {
  return {"closed.section", "section",
          "there is no closed form for rounded corners, angles, and channels with toes in or out",
          "sharp corners, a channel on edge, or the section integral"};
}

// Beta function through its logarithm.
double beta(double a, double b) {
  return std::exp(std::lgamma(a) + std::lgamma(b) - std::lgamma(a + b));
}

// Moment of one disc or rectangle of half height c, elastic core half height yy:
//   rectangle b x h: Sy b (h^2/4 - yy^2/3)
//   disc:            Sy c^3 [(phi - sin(4 phi)/4)/(2 eta) + (4/3)(1 - eta^2)^1.5], eta = yy/c,
//                    phi = asin(eta)
double rectangle_perfect(double h, double b, double core, double yield) {
  const double c = h / 2.0;
  if (core >= c) return yield / core * b * h * h * h / 12.0;
  return yield * b * (c * c - core * core / 3.0);
}

double disc_perfect(double c, double core, double yield) {
  if (core >= c) return yield / core * pi * std::pow(c, 4) / 4.0;
  const double eta = core / c;
  const double phi = std::asin(eta);
  return yield * c * c * c *
         ((phi - std::sin(4.0 * phi) / 4.0) / (2.0 * eta) +
          4.0 / 3.0 * std::pow(1.0 - eta * eta, 1.5));
}

// Integral of |y|^(1+n) over a rectangle and a disc.
double rectangle_power(double h, double b, double n) {
  return 2.0 * b * std::pow(h / 2.0, n + 2.0) / (n + 2.0);
}
double disc_power(double c, double n) {
  return 2.0 * std::pow(c, n + 3.0) * beta((n + 2.0) / 2.0, 1.5);
}

// Applies one of the pairs above to a section: outer less inner.
template <typename Rectangle, typename Disc>
base::Result<double> by_parts(const Section& s, Rectangle&& rectangle, Disc&& disc) {
  const double t = s.wall_mm();
  switch (s.kind()) {
    case SectionKind::kRoundBar:
      return disc(s.height_mm() / 2.0);
    case SectionKind::kRoundTube:
      return disc(s.height_mm() / 2.0) - disc(s.height_mm() / 2.0 - t);
    case SectionKind::kRectBar:
      return rectangle(s.height_mm(), s.width_mm());
    case SectionKind::kRectTube:
      if (s.corner_radius_mm() > 0.0) return no_closed_form();
      return rectangle(s.height_mm(), s.width_mm()) -
             rectangle(s.height_mm() - 2.0 * t, s.width_mm() - 2.0 * t);
    case SectionKind::kChannel:
      if (!s.on_edge() || s.radii() != stock::OpenRadii{}) return no_closed_form();
      return rectangle(s.height_mm(), s.width_mm()) -
             rectangle(s.height_mm() - 2.0 * s.flange_thickness_mm(), s.width_mm() - t);
    case SectionKind::kAngle:
      break;
  }
  return no_closed_form();
}

}  // namespace

base::Result<double> perfect_moment_nmm(const Section& section, double youngs_mpa, double yield_mpa,
                                        double radius_mm) {
  if (!positive(youngs_mpa)) return not_positive("youngs", youngs_mpa);
  if (!positive(yield_mpa)) return not_positive("yield", yield_mpa);
  if (!positive(radius_mm)) return not_positive("radius", radius_mm);
  const double core = yield_mpa * radius_mm / youngs_mpa;
  return by_parts(
      section, [&](double h, double b) { return rectangle_perfect(h, b, core, yield_mpa); },
      [&](double c) { return disc_perfect(c, core, yield_mpa); });
}

base::Result<double> bilinear_moment_nmm(const Section& section, double youngs_mpa,
                                         double yield_mpa, double tangent_mpa, double radius_mm) {
  BIGHT_TRY(const double perfect, perfect_moment_nmm(section, youngs_mpa, yield_mpa, radius_mm));
  if (!std::isfinite(tangent_mpa) || tangent_mpa < 0.0 || tangent_mpa >= youngs_mpa) {
    return not_positive("tangent", tangent_mpa);
  }
  return (1.0 - tangent_mpa / youngs_mpa) * perfect +
         tangent_mpa * section.second_moment_mm4() / radius_mm;
}

base::Result<double> hollomon_moment_nmm(const Section& section, double strength_mpa,
                                         double exponent_ratio, double radius_mm) {
  if (!positive(strength_mpa)) return not_positive("strength", strength_mpa);
  if (!positive(radius_mm)) return not_positive("radius", radius_mm);
  if (!std::isfinite(exponent_ratio) || exponent_ratio < 0.0 || exponent_ratio > 1.0) {
    return not_positive("exponent", exponent_ratio);
  }
  const double n = exponent_ratio;
  BIGHT_TRY(const double power_mm,
            by_parts(
                section, [&](double h, double b) { return rectangle_power(h, b, n); },
                [&](double c) { return disc_power(c, n); }));
  return strength_mpa * std::pow(radius_mm, -n) * power_mm;
}

double thin_tube_perfect_moment_nmm(double mean_radius_mm, double wall_mm, double youngs_mpa,
                                    double yield_mpa, double radius_mm) {
  const double r = mean_radius_mm;
  const double sine = yield_mpa * radius_mm / (youngs_mpa * r);
  if (sine >= 1.0) return youngs_mpa * pi * r * r * r * wall_mm / radius_mm;
  const double phi = std::asin(sine);
  return 2.0 * wall_mm * r * r * yield_mpa * (phi / sine + std::cos(phi));
}

double thin_tube_hollomon_moment_nmm(double mean_radius_mm, double wall_mm, double strength_mpa,
                                     double exponent_ratio, double radius_mm) {
  const double n = exponent_ratio;
  return 2.0 * wall_mm * std::pow(mean_radius_mm, n + 2.0) * beta((n + 2.0) / 2.0, 0.5) *
         strength_mpa * std::pow(radius_mm, -n);
}

double strip_release_ratio(double youngs_mpa, double yield_mpa, double radius_mm,
                           double thickness_mm) {
  const double x = yield_mpa * radius_mm / (youngs_mpa * thickness_mm);
  return x >= 0.5 ? 0.0 : 4.0 * x * x * x - 3.0 * x + 1.0;
}

double thin_tube_release_ratio(double youngs_mpa, double yield_mpa, double radius_mm,
                               double mean_radius_mm) {
  const double sine = yield_mpa * radius_mm / (youngs_mpa * mean_radius_mm);
  if (sine >= 1.0) return 0.0;
  const double phi = std::asin(sine);
  return 1.0 - 2.0 / pi * (phi + sine * std::cos(phi));
}

double springback_ratio(const Section& section, double youngs_mpa, double moment_nmm,
                        double radius_mm) {
  return moment_nmm * radius_mm / (youngs_mpa * section.second_moment_mm4());
}

double released_radius_mm(double radius_mm, double q) {
  constexpr double kStraight_ratio = 1e-12;  // what is left is rounding
  if (1.0 - q < kStraight_ratio) return std::numeric_limits<double>::infinity();
  return radius_mm / (1.0 - q);
}

double axial_force_factor_ratio(double force_ratio) {
  if (std::abs(force_ratio) >= 1.0) return 0.0;
  return std::cos(pi / 2.0 * force_ratio);
}

double rectangle_axial_factor_ratio(double force_ratio) {
  return std::max(0.0, 1.0 - force_ratio * force_ratio);
}

base::Result<double> hoop_stress_ratio(double k, base::Angle from_outside) {
  constexpr double kLeast_ratio = 1.4;
  constexpr double kMost_ratio = 30.0;
  if (!(k >= kLeast_ratio && k <= kMost_ratio)) {
    return base::Failure{"closed.input", "radius", fmt::format("R/(2r) of {} is out of range", k),
                         "a radius of 1.4 to 30 mean diameters"};
  }
  if (!(from_outside.rad() >= 0.0 && from_outside.rad() <= pi / 2.0 + 1e-12)) {
    return base::Failure{"closed.input", "angle",
                         fmt::format("{} degrees is not in the outer half", from_outside.deg()),
                         "an angle from 0 at the outside to 90 at the side"};
  }
  return std::log((2.0 * k + base::cos(from_outside)) / (2.0 * k + 1.0));
}

double elastic_radius_mm(double height_mm, double youngs_mpa, double yield_mpa) {
  return youngs_mpa * height_mm / (2.0 * yield_mpa);
}

double radius_for_strain_mm(double height_mm, double strain_ratio) {
  return height_mm / (2.0 * strain_ratio);
}

double simple_outer_strain_ratio(double height_mm, double radius_mm) {
  return height_mm / (2.0 * radius_mm);
}

RigidTube rigid_tube(double r, double R) {
  return {r * r / R, R / std::sqrt(R * R - r * r) - 1.0, std::sqrt((R - r) / (R + r)),
          std::sqrt((R + r) / (R - r))};
}

double trade_outer_wall_ratio(double od_mm, double radius_mm) {
  return radius_mm / (radius_mm + od_mm / 2.0);
}

}  // namespace bight::mechanics

#include "mechanics/moment_curve.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace bight::mechanics {

namespace {

// Inverse problems stop when the curvature moves by less than this share of itself.
constexpr double kConverged_ratio = 1e-13;

}  // namespace

MomentCurve::MomentCurve(const stock::Section& section, const stock::FlowCurve& curve)
    : profile_(section),
      law_(curve),
      half_height_mm_(std::max(profile_.top_mm(), -profile_.bottom_mm())),
      stiffness_nmm2_(curve.youngs_mpa() * section.second_moment_mm4()),
      yield_curvature_per_mm_(law_.yield_strain_ratio() / half_height_mm_) {}

MomentCurve::Integrals MomentCurve::integrals(double curvature, double neutral_mm) const {
  const double core = law_.yield_strain_ratio() / curvature;
  const std::array<double, 3> cuts{neutral_mm - core, neutral_mm, neutral_mm + core};
  return integrate<Integrals>(profile_, cuts, neutral_mm, [&](double y) {
    const double strain = (y - neutral_mm) * curvature;
    const double stress = law_.stress_mpa(strain);
    const double tangent = law_.tangent_mpa(strain);
    return Integrals{stress, stress * y, tangent, tangent * y, tangent * y * y};
  });
}

MomentCurve::Integrals MomentCurve::balanced(double curvature) const {
  double neutral_mm = 0.0;
  Integrals sums = integrals(curvature, neutral_mm);
  if (profile_.symmetric()) return sums;
  // The force falls as the neutral fibre rises: bisection holds Newton's steps in.
  double low = profile_.bottom_mm();
  double high = profile_.top_mm();
  const double enough = 1e-12 * law_.yield_mpa() * profile_.area_mm2();
  for (int i = 0; i < 80 && std::abs(sums.force_n) > enough; ++i) {
    (sums.force_n > 0.0 ? low : high) = neutral_mm;
    const double slope = -curvature * sums.stiffness;
    double next = slope < 0.0 ? neutral_mm - sums.force_n / slope : low;
    if (!(next > low && next < high)) next = 0.5 * (low + high);
    if (std::abs(next - neutral_mm) < 1e-13 * half_height_mm_) break;
    neutral_mm = next;
    sums = integrals(curvature, neutral_mm);
  }
  return sums;
}

double MomentCurve::moment_nmm(double curvature_per_mm) const {
  const double k = std::abs(curvature_per_mm);
  if (k <= yield_curvature_per_mm_) return stiffness_nmm2_ * curvature_per_mm;
  return std::copysign(balanced(k).moment, curvature_per_mm);
}

double MomentCurve::tangent_nmm2(double curvature_per_mm) const {
  const double k = std::abs(curvature_per_mm);
  if (k <= yield_curvature_per_mm_) return stiffness_nmm2_;
  const Integrals s = balanced(k);
  // The neutral fibre moves so that the force stays zero.
  return s.stiffness > 0.0 ? s.second - s.first * s.first / s.stiffness : s.second;
}

base::Result<double> MomentCurve::curvature_per_mm(double moment_nmm) const {
  const double wanted = std::abs(moment_nmm);
  if (wanted <= yield_moment_nmm()) return moment_nmm / stiffness_nmm2_;
  double low = yield_curvature_per_mm_;
  double high = 1.0 / half_height_mm_;
  const double largest = this->moment_nmm(high);
  if (!(wanted <= largest)) {
    return base::Failure{"moment.limit", "moment",
                         fmt::format("{:.5g} N m is more than the section carries at any radius "
                                     "({:.5g} N m)",
                                     wanted / 1000.0, largest / 1000.0),
                         "a smaller moment or a larger section"};
  }
  double k = low;
  for (int i = 0; i < 200 && high - low > kConverged_ratio * high; ++i) {
    const double miss = this->moment_nmm(k) - wanted;
    (miss < 0.0 ? low : high) = k;
    const double slope = tangent_nmm2(k);
    double next = slope > 0.0 ? k - miss / slope : high;
    if (!(next > low && next < high)) next = std::sqrt(low * high);
    if (std::abs(next - k) <= kConverged_ratio * k) break;
    k = next;
  }
  return std::copysign(k, moment_nmm);
}

double MomentCurve::released_per_mm(double loaded_per_mm) const {
  return loaded_per_mm - moment_nmm(loaded_per_mm) / stiffness_nmm2_;
}

base::Result<double> MomentCurve::loaded_per_mm(double released_per_mm) const {
  const double wanted = std::abs(released_per_mm);
  if (wanted == 0.0) return 0.0;
  double low = wanted;
  double high = 1.0 / half_height_mm_;
  if (!(this->released_per_mm(high) >= wanted)) {
    return base::Failure{"moment.limit", "radius",
                         fmt::format("no loaded radius above half the section's height releases to "
                                     "{:.5g} mm",
                                     1.0 / wanted),
                         "a larger radius"};
  }
  double k = std::min(
      high, wanted + moment_nmm(std::max(wanted, yield_curvature_per_mm_)) / stiffness_nmm2_);
  for (int i = 0; i < 200 && high - low > kConverged_ratio * high; ++i) {
    const double miss = this->released_per_mm(k) - wanted;
    (miss < 0.0 ? low : high) = k;
    const double slope = 1.0 - tangent_nmm2(k) / stiffness_nmm2_;
    double next = slope > 0.0 ? k - miss / slope : high;
    if (!(next > low && next < high)) next = 0.5 * (low + high);
    if (std::abs(next - k) <= kConverged_ratio * k) break;
    k = next;
  }
  return std::copysign(k, released_per_mm);
}

}  // namespace bight::mechanics

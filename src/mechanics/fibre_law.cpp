#include "mechanics/fibre_law.h"

#include <algorithm>
#include <variant>

namespace bight::mechanics {

FibreLaw::FibreLaw(const stock::FlowCurve& curve, double hold_ratio, double poisson_ratio)
    : kind_(Kind::kTable), hold_ratio_(std::clamp(hold_ratio, 0.0, 1.0)) {
  strain_factor_ratio_ = std::sqrt(1.0 + hold_ratio_ * hold_ratio_ / 3.0);
  stress_factor_ratio_ = (3.0 + hold_ratio_) / (3.0 * strain_factor_ratio_);
  const double nu2 = poisson_ratio * poisson_ratio;
  modulus_mpa_ = curve.youngs_mpa() * (1.0 - nu2 * (1.0 - hold_ratio_)) / (1.0 - nu2);
  yield_mpa_ = stress_factor_ratio_ * curve.yield_mpa();
  yield_strain_ratio_ = yield_mpa_ / modulus_mpa_;
  if (!curve.hardens()) {
    kind_ = Kind::kFlat;
  } else if (std::holds_alternative<stock::FlowCurve::Bilinear>(curve.law())) {
    kind_ = Kind::kLinear;
    // Axial plastic slope ds/dp = stress factor * strain factor * H; in total strain 1/(1/ds +
    // 1/E).
    const double slope = stress_factor_ratio_ * strain_factor_ratio_ * curve.hardening_mpa(0.0);
    slope_mpa_ = slope / (1.0 + slope / modulus_mpa_);
  } else {
    fill(curve);
  }
}

void FibreLaw::fill(const stock::FlowCurve& curve) {
  const auto* power = std::get_if<stock::FlowCurve::HollomonLaw>(&curve.law());
  const bool direct = power != nullptr && hold_ratio_ == 0.0;
  for (std::size_t i = 0; i < kKnots; ++i) {
    const std::size_t step = i - 1;  // knots at 0, then 1, 1.25, 1.5, 1.75 of each octave
    const double p = i == 0 ? 0.0
                            : std::ldexp(1.0 + 0.25 * static_cast<double>(step % 4),
                                         kFirstOctave + static_cast<int>(step / 4));
    if (direct) {  // explicit in total strain: no root to find
      const double e = yield_strain_ratio_ + p;
      beyond_[i] = p;
      stress_[i] = power->strength_mpa * std::pow(e, power->exponent_ratio);
      rise_[i] = power->exponent_ratio * stress_[i] / e;
      continue;
    }
    const stock::FlowCurve::Point at = curve.point(strain_factor_ratio_ * p);
    stress_[i] = stress_factor_ratio_ * at.stress_mpa;
    const double slope = stress_factor_ratio_ * strain_factor_ratio_ * at.hardening_mpa;
    rise_[i] = slope / (1.0 + slope / modulus_mpa_);
    beyond_[i] = p + (stress_[i] - yield_mpa_) / modulus_mpa_;
  }
}

double FibreLaw::tangent_mpa(double strain_ratio) const {
  const double e = std::abs(strain_ratio);
  if (e <= yield_strain_ratio_) return modulus_mpa_;
  if (kind_ == Kind::kFlat) return 0.0;
  if (kind_ == Kind::kLinear) return slope_mpa_;
  const double beyond = e - yield_strain_ratio_;
  const std::size_t i = interval(beyond);
  const double low = beyond_[i];
  const double h = beyond_[i + 1] - low;
  const double u = (beyond - low) / h;
  if (u > 1.0) return rise_[i + 1];
  return 6.0 * u * (1.0 - u) * (stress_[i + 1] - stress_[i]) / h +
         (1.0 - u) * (1.0 - 3.0 * u) * rise_[i] + u * (3.0 * u - 2.0) * rise_[i + 1];
}

double FibreLaw::equivalent_plastic_ratio(double strain_ratio) const {
  const double e = std::abs(strain_ratio);
  if (e <= yield_strain_ratio_) return 0.0;
  return strain_factor_ratio_ * (e - stress_mpa(e) / modulus_mpa_);
}

}  // namespace bight::mechanics

// Stress along a fibre of a bent section, tabulated once so that thousands of fibres cost little.
#pragma once

#include <array>
#include <bit>
#include <cmath>
#include <cstddef>
#include <cstdint>

#include "stock/flow_curve.h"

namespace bight::mechanics {

// Axial stress against axial true strain when the hoop strain is a share of the free one:
// hoop strain = -(1 - hold)/2 of the axial strain (plastic). hold 0: free to contract (uniaxial);
// hold 1: none (plane strain). Mises, proportional straining:
//   equivalent strain = axial * sqrt(1 + hold^2/3)
//   axial stress = flow stress * (3 + hold) / (3 sqrt(1 + hold^2/3))        -> 2/sqrt(3) at hold 1
//   elastic slope = E (1 - nu^2 (1 - hold)) / (1 - nu^2)                    -> E/(1-nu^2) at hold 1
//   thickness strain = -(1 + hold)/2 * axial
// Perfect and bilinear laws are exact; the others are cubic between knots that stand four to each
// doubling of the plastic range, within 2e-5 of the stress (a tabulated law near its corners:
// within the bend of the corner).
class FibreLaw {
 public:
  // hold is clamped to [0, 1].
  explicit FibreLaw(const stock::FlowCurve& curve, double hold_ratio = 0.0,
                    double poisson_ratio = 0.3);

  // Axial stress at a true axial strain of either sign.
  double stress_mpa(double strain_ratio) const {
    const auto e = std::abs(strain_ratio);
    if (e <= yield_strain_ratio_) return modulus_mpa_ * strain_ratio;
    return std::copysign(plastic_stress(e - yield_strain_ratio_), strain_ratio);
  }
  // Its slope there.
  double tangent_mpa(double strain_ratio) const;

  double modulus_mpa() const { return modulus_mpa_; }
  double yield_mpa() const { return yield_mpa_; }
  double yield_strain_ratio() const { return yield_strain_ratio_; }
  double hold_ratio() const { return hold_ratio_; }
  // Thickness strain per axial strain, with its sign turned: (1 + hold)/2.
  double thinning_share_ratio() const { return 0.5 * (1.0 + hold_ratio_); }
  // Equivalent plastic strain of an axial strain.
  double equivalent_plastic_ratio(double strain_ratio) const;

 private:
  static constexpr int kFirstOctave = -16;  // 1.5e-5 of plastic strain
  static constexpr int kOctaves = 17;       // to 2; straight on beyond
  static constexpr std::size_t kKnots = 4 * kOctaves + 2;
  enum class Kind { kFlat, kLinear, kTable };

  void fill(const stock::FlowCurve& curve);
  double plastic_stress(double beyond_ratio) const;
  std::size_t interval(double beyond_ratio) const;

  Kind kind_;
  double hold_ratio_;
  double strain_factor_ratio_;  // equivalent strain / axial strain
  double stress_factor_ratio_;  // axial stress / flow stress
  double modulus_mpa_;
  double yield_mpa_;
  double yield_strain_ratio_;
  double slope_mpa_ = 0.0;               // kLinear
  std::array<double, kKnots> beyond_{};  // strain beyond yield at the knots
  std::array<double, kKnots> stress_{};
  std::array<double, kKnots> rise_{};  // d stress / d strain at the knots
};

inline std::size_t FibreLaw::interval(double beyond_ratio) const {
  // The exponent and the top two bits of the mantissa number the knots by plastic strain, which is
  // a little less than the strain beyond yield: a few steps down at most.
  constexpr std::int64_t kFirst = static_cast<std::int64_t>(1023 + kFirstOctave) * 4;
  const std::int64_t bits =
      static_cast<std::int64_t>(std::bit_cast<std::uint64_t>(beyond_ratio) >> 50) - kFirst;
  if (bits < 0) return 0;
  std::size_t index = static_cast<std::size_t>(bits) + 1;
  if (index > kKnots - 2) index = kKnots - 2;
  while (index > 0 && beyond_ratio < beyond_[index]) --index;
  return index;
}

inline double FibreLaw::plastic_stress(double beyond_ratio) const {
  switch (kind_) {
    case Kind::kFlat:
      return yield_mpa_;
    case Kind::kLinear:
      return yield_mpa_ + slope_mpa_ * beyond_ratio;
    case Kind::kTable:
      break;
  }
  const std::size_t i = interval(beyond_ratio);
  const auto low = beyond_[i];
  const auto h = beyond_[i + 1] - low;
  const auto u = (beyond_ratio - low) / h;
  const auto v = 1.0 - u;
  if (u > 1.0) return stress_[i + 1] + rise_[i + 1] * (beyond_ratio - beyond_[i + 1]);
  return v * v * ((1.0 + 2.0 * u) * stress_[i] + u * h * rise_[i]) +
         u * u * ((1.0 + 2.0 * v) * stress_[i + 1] - v * h * rise_[i + 1]);
}

}  // namespace bight::mechanics

#include "mechanics/wrinkle.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "mechanics/ovality.h"

namespace bight::mechanics {
namespace {

using base::Failure;
using base::Result;

// Strain beyond which no wrinkle is looked for: the tightest bend, R = D/2.
constexpr double kStrainMost_ratio = 1.0;
constexpr int kClosings = 150;
constexpr double kClosed_ratio = 1e-12;  // of the strain

double support_factor(WallSupport support) {
  return support == WallSupport::kFree ? 1.0 : std::numbers::sqrt3;
}

Result<base::Done> checked_tube(const stock::Section& section, double poisson_ratio) {
  if (section.kind() == stock::SectionKind::kRoundTube && poisson_ratio >= 0 &&
      poisson_ratio <= 0.5) {
    return base::Done{};
  }
  return Failure{"wrinkle.section", "",
                 fmt::format("wrinkles are worked out for round tube, not for {}", section.text()),
                 "give a round tube with Poisson's ratio within 0 to 0.5"};
}

// Instantaneous plane-stress moduli at uniaxial compression; only what the formulas need.
struct Moduli {
  double axial_mpa = 0.0;         // C11
  double determinant_mpa2 = 0.0;  // C11 C22 - C12²
  double stress_mpa = 0.0;        // at which they hold; 0 while elastic
};

// Compliances of J2 deformation theory: M11 = 1/Et, M12 = -1/(2 Et) + (1/2 - nu)/E,
// M22 = 1/Es + (1/Et - 1/Es)/4. A level flow curve has Et = 0 and no stiffness left.
Moduli moduli_at(const stock::FlowCurve& curve, double poisson_ratio, double plastic_ratio,
                 bool yielded) {
  const double youngs_mpa = curve.youngs_mpa();
  if (!yielded) {
    const double free_ratio = 1 - poisson_ratio * poisson_ratio;
    return {youngs_mpa / free_ratio, youngs_mpa * youngs_mpa / free_ratio};
  }
  const auto [stress_mpa, hardening_mpa] = curve.point(plastic_ratio);
  if (!(hardening_mpa > 0)) return {0.0, 0.0, stress_mpa};
  const double by_tangent = 1 / youngs_mpa + 1 / hardening_mpa;
  const double by_secant = 1 / youngs_mpa + plastic_ratio / stress_mpa;
  const double m11 = by_tangent;
  const double m12 = -by_tangent / 2 + (0.5 - poisson_ratio) / youngs_mpa;
  const double m22 = by_secant + (by_tangent - by_secant) / 4;
  const double determinant = m11 * m22 - m12 * m12;
  return {m22 / determinant, 1 / determinant, stress_mpa};
}

// Critical stress of the present moduli, without the support factor.
double critical_mpa(const Moduli& moduli, double slenderness_ratio) {
  return slenderness_ratio * std::sqrt(moduli.determinant_mpa2 / 3);
}

// Half wave pi sqrt(r t) [C11² / (12 (C11 C22 - C12²))]^(1/4); the one-sided wave is shorter by
// 3^(1/4), see the theory page.
double half_wave_mm(const Moduli& moduli, double radius_mm, double wall_mm, WallSupport support) {
  const double shape =
      std::pow(moduli.axial_mpa * moduli.axial_mpa / (12 * moduli.determinant_mpa2), 0.25);
  const double wave_mm = std::numbers::pi * std::sqrt(radius_mm * wall_mm) * shape;
  return support == WallSupport::kFree ? wave_mm : wave_mm / std::pow(3.0, 0.25);
}

// Halves the bracket of a crossing from below, or cuts it where a straight line through its ends
// crosses, in turn: quick on a smooth curve, sure on one with kinks and jumps.
template <typename F>
void close_crossing(F&& excess_mpa, double& low, double& high) {
  double low_mpa = excess_mpa(low);
  double high_mpa = excess_mpa(high);
  for (int step = 0; step < kClosings && high - low > kClosed_ratio * high; ++step) {
    double at = (low + high) / 2;
    if (step % 3 != 2) {
      // A nudge past the line's crossing, so that both ends close in.
      const double nudge = (step % 3 == 0 ? 1e-3 : -1e-3) * (high - low);
      const double line = low + (high - low) * low_mpa / (low_mpa - high_mpa) + nudge;
      if (line > low && line < high) at = line;
    }
    const double here_mpa = excess_mpa(at);
    const bool below = here_mpa < 0;
    (below ? low : high) = at;
    (below ? low_mpa : high_mpa) = here_mpa;
  }
}

WrinkleOnset onset_of(const stock::FlowCurve& curve, double poisson_ratio, double radius_mm,
                      double wall_mm, WallSupport support) {
  const double factor = support_factor(support);
  const double slenderness_ratio = wall_mm / radius_mm;
  const auto excess_mpa = [&](double plastic_ratio) {
    const Moduli moduli = moduli_at(curve, poisson_ratio, plastic_ratio, true);
    return moduli.stress_mpa - factor * critical_mpa(moduli, slenderness_ratio);
  };
  const Moduli elastic = moduli_at(curve, poisson_ratio, 0.0, false);
  WrinkleOnset onset;
  onset.stress_mpa = factor * critical_mpa(elastic, slenderness_ratio);
  if (onset.stress_mpa <= curve.yield_mpa()) {
    onset.strain_ratio = onset.stress_mpa / curve.youngs_mpa();
    onset.half_wave_mm = half_wave_mm(elastic, radius_mm, wall_mm, support);
    return onset;
  }
  double low = 0.0;
  double high = 0.0;
  // The stiffness falls with strain while the stress rises; on a logarithmic walk the first
  // crossing is bracketed even where a tabulated curve has kinks.
  if (excess_mpa(0.0) < 0) {
    high = 1e-5;
    while (high < kStrainMost_ratio && excess_mpa(high) < 0) {
      low = high;
      high *= 1.2;
    }
    close_crossing(excess_mpa, low, high);
  }
  onset.stress_mpa = curve.flow_mpa(high);
  onset.strain_ratio = high + onset.stress_mpa / curve.youngs_mpa();
  Moduli moduli = moduli_at(curve, poisson_ratio, low, true);
  if (moduli.determinant_mpa2 == 0) moduli = elastic;
  onset.half_wave_mm = half_wave_mm(moduli, radius_mm, wall_mm, support);
  return onset;
}

double onset_ratio(const stock::Section& section, const stock::FlowCurve& curve,
                   double poisson_ratio, WallSupport support, double wall_factor) {
  const double wall_mm = section.wall_mm() * wall_factor;
  return onset_of(curve, poisson_ratio, (section.height_mm() - wall_mm) / 2, wall_mm, support)
      .strain_ratio;
}

RatioSpread onset_spread(const stock::Section& section, const stock::FlowCurve& curve,
                         double poisson_ratio, WallSupport support) {
  const double thin = 1 - kWallTolerance_ratio;
  if (support == WallSupport::kFree) {
    return {onset_ratio(section, curve, poisson_ratio, support, thin),
            onset_ratio(section, curve, poisson_ratio, support, 1.0),
            onset_ratio(section, curve, poisson_ratio, support, 1 + kWallTolerance_ratio),
            "delivered wall 10 % under or over nominal (EN 10305-1); tubes in bending may stand a "
            "little more than in compression"};
  }
  const double theory_ratio = onset_ratio(section, curve, poisson_ratio, support, 1.0);
  // D/(2R) at a quotient W/k is quotient / (2 W).
  const double wall_factor_ratio = section.wall_factor_ratio();
  const double plain_ratio = kPlainBendQuotient_ratio / (2 * wall_factor_ratio);
  const double most_ratio = kPlainBendQuotientMost_ratio / (2 * wall_factor_ratio);
  return {std::min(theory_ratio, plain_ratio), std::max(theory_ratio, plain_ratio),
          std::max(theory_ratio, most_ratio),
          "theory takes the whole ring as compressed and the wall as free to move inward; shops "
          "bend steel to a quotient of 10 to 11 with plain grooved tools (mill handbook 2018), "
          "other metals only by analogy"};
}

}  // namespace

Result<WrinkleOnset> wrinkle_onset(const stock::Section& section, const stock::FlowCurve& curve,
                                   double poisson_ratio, WallSupport support) {
  BIGHT_TRY([[maybe_unused]] const auto ok, checked_tube(section, poisson_ratio));
  return onset_of(curve, poisson_ratio, (section.height_mm() - section.wall_mm()) / 2,
                  section.wall_mm(), support);
}

Result<WrinkleForecast> wrinkle_forecast(const stock::Section& section,
                                         const stock::FlowCurve& curve, double poisson_ratio,
                                         double clr_mm, WallSupport support) {
  BIGHT_TRY([[maybe_unused]] const auto ok, checked_tube(section, poisson_ratio));
  if (!std::isfinite(clr_mm) || clr_mm <= section.height_mm() / 2) {
    return Failure{"wrinkle.radius", "",
                   fmt::format("centreline radius {} mm is not above half the diameter", clr_mm),
                   "give the centreline radius of the bend"};
  }
  WrinkleForecast forecast;
  forecast.strain_ratio = section.height_mm() / (2 * clr_mm);
  forecast.quotient_ratio = section.wall_factor_ratio() / (clr_mm / section.height_mm());
  forecast.onset = onset_spread(section, curve, poisson_ratio, support);
  std::string words;
  if (forecast.strain_ratio <= forecast.onset.low_ratio) {
    forecast.verdict = WrinkleVerdict::kNotExpected;
    words = "no wrinkles expected";
  } else if (support == WallSupport::kOneSided &&
             forecast.strain_ratio <= forecast.onset.likely_ratio * (1 + 1e-12)) {
    forecast.verdict = WrinkleVerdict::kToolsMustFit;
    words = "smooth only in a close groove";
  } else {
    forecast.verdict = WrinkleVerdict::kBeyondPlain;
    words = support == WallSupport::kFree
                ? "the unsupported inside is likely to wrinkle"
                : "beyond published plain bends: mandrel, and a wiper if a hump stands at the "
                  "trailing end";
  }
  forecast.message = fmt::format(
      "inside shortens {:.1f} %, wrinkles start about {:.1f} % ({:.1f} to {:.1f} %), quotient W/k "
      "{:.1f}: {}",
      100 * forecast.strain_ratio, 100 * forecast.onset.likely_ratio,
      100 * forecast.onset.low_ratio, 100 * forecast.onset.high_ratio, forecast.quotient_ratio,
      words);
  return forecast;
}

Result<LengthSpread> smallest_clr_without_wrinkles_mm(const stock::Section& section,
                                                      const stock::FlowCurve& curve,
                                                      double poisson_ratio, WallSupport support) {
  BIGHT_TRY([[maybe_unused]] const auto ok, checked_tube(section, poisson_ratio));
  const RatioSpread onset = onset_spread(section, curve, poisson_ratio, support);
  const double half_mm = section.height_mm() / 2;
  return LengthSpread{half_mm / onset.high_ratio, half_mm / onset.likely_ratio,
                      half_mm / onset.low_ratio, onset.reason};
}

}  // namespace bight::mechanics

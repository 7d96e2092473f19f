#include "mechanics/fracture.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace bight::mechanics {
namespace {

using base::Failure;
using base::Result;

Result<double> radius_at_strain_mm(const stock::Section& section, double strain_ratio) {
  if (!(strain_ratio > 0 && strain_ratio < 2)) {
    return Failure{"fracture.elongation", "",
                   fmt::format("a strain of {} is not a metal's", strain_ratio),
                   "give a strain between 0 and 2, 0.25 for 25 %"};
  }
  return section.outer_mm() / strain_ratio;
}

}  // namespace

Result<OuterStrain> outer_strain(const stock::Section& section, double clr_mm) {
  const double half_mm = section.outer_mm();
  const double inner_mm = section.inner_mm();
  if (!std::isfinite(clr_mm) || clr_mm <= inner_mm) {
    return Failure{
        "fracture.radius", "",
        fmt::format("centreline radius {} mm leaves no hole: the inside is {} mm from the "
                    "centreline",
                    clr_mm, inner_mm),
        "give the radius to the centreline"};
  }
  OuterStrain strain;
  strain.plain_ratio = half_mm / clr_mm;
  double low_ratio = strain.plain_ratio;
  if (section.hollow()) {
    const double mean_mm = half_mm - section.wall_mm() / 2;
    strain.shifted_ratio =
        (clr_mm + mean_mm) / std::sqrt((clr_mm - mean_mm) * (clr_mm + mean_mm)) - 1;
    low_ratio = mean_mm / clr_mm;
  } else {
    strain.shifted_ratio = std::sqrt((clr_mm + half_mm) / (clr_mm - inner_mm)) - 1;
  }
  strain.spread = {low_ratio, strain.plain_ratio,
                   std::max(strain.plain_ratio, strain.shifted_ratio),
                   "from the middle of the wall with an unstretched centreline to a neutral layer "
                   "fully shifted inward; push by the pressure die lowers it, drag raises it"};
  return strain;
}

double uniform_elongation_ratio(const stock::FlowCurve& curve) {
  const auto still_rising = [&](double plastic_ratio) {
    // ds/de with the elastic part: 1/(1/E + 1/H).
    const stock::FlowCurve::Point at = curve.point(plastic_ratio);
    const double slope_mpa = at.hardening_mpa / (1 + at.hardening_mpa / curve.youngs_mpa());
    return slope_mpa > at.stress_mpa;
  };
  if (!still_rising(0.0)) return 0.0;
  double low = 0.0;
  double high = 2.0;
  for (int step = 0; step < 45; ++step) {  // to 1e-13
    const double middle = (low + high) / 2;
    (still_rising(middle) ? low : high) = middle;
  }
  return std::expm1(high + curve.flow_mpa(high) / curve.youngs_mpa());
}

Result<CrackForecast> crack_forecast(const stock::Section& section, const stock::FlowCurve& curve,
                                     std::optional<double> elongation_ratio, double clr_mm) {
  if (elongation_ratio && !(*elongation_ratio > 0 && *elongation_ratio < 2)) {
    return Failure{"fracture.elongation", "",
                   fmt::format("an elongation of {} is not a metal's", *elongation_ratio),
                   "give a ratio between 0 and 2, 0.25 for 25 %"};
  }
  CrackForecast forecast;
  BIGHT_TRY(forecast.strain, outer_strain(section, clr_mm));
  forecast.total_ratio = elongation_ratio;
  forecast.uniform_ratio = uniform_elongation_ratio(curve);
  // A curve extrapolated past what the metal stretched cannot raise the limit.
  if (elongation_ratio) {
    forecast.uniform_ratio = std::min(forecast.uniform_ratio, *elongation_ratio);
  }
  const double likely_ratio = forecast.strain.spread.likely_ratio;
  std::string words = "within uniform elongation";
  if (elongation_ratio && forecast.strain.spread.low_ratio > *elongation_ratio) {
    forecast.verdict = CrackVerdict::kStop;
    words = "beyond total elongation; prove it by a trial bend or choose a larger radius";
  } else if (elongation_ratio && likely_ratio > *elongation_ratio) {
    forecast.verdict = CrackVerdict::kCaution;
    words = "about the total elongation; prove it by a trial bend examined for cracks";
  } else if (likely_ratio > forecast.uniform_ratio) {
    forecast.verdict = CrackVerdict::kCaution;
    words = "beyond uniform elongation: the outside may thin locally";
  } else if (forecast.strain.spread.high_ratio > forecast.uniform_ratio) {
    forecast.verdict = CrackVerdict::kCaution;
    words = "within uniform elongation only if the centreline does not stretch";
  }
  forecast.message = fmt::format(
      "outside stretches {:.1f} % ({:.1f} to {:.1f} %), uniform elongation {:.1f} %{}: {}",
      100 * likely_ratio, 100 * forecast.strain.spread.low_ratio,
      100 * forecast.strain.spread.high_ratio, 100 * forecast.uniform_ratio,
      elongation_ratio ? fmt::format(", total {:.1f} %", 100 * *elongation_ratio)
                       : std::string(", total unknown"),
      words);
  return forecast;
}

Result<double> smallest_clr_for_strain_mm(const stock::Section& section, double strain_ratio) {
  return radius_at_strain_mm(section, strain_ratio);
}

Result<double> elastic_clr_mm(const stock::Section& section, double yield_strain_ratio) {
  return radius_at_strain_mm(section, yield_strain_ratio);
}

Result<WayStrains> way_strains(const stock::Section& section, double inside_radius_mm) {
  if (!(inside_radius_mm >= 0) || !std::isfinite(inside_radius_mm)) {
    return Failure{"fracture.radius", "",
                   fmt::format("inside radius {} mm is not a radius", inside_radius_mm),
                   "give the inside radius of the bend"};
  }
  const auto strain = [&](const stock::Section& s) {
    return s.outer_mm() / (inside_radius_mm + s.inner_mm());
  };
  return WayStrains{strain(section), strain(section.turned()),
                    section.height_mm() > section.width_mm()};
}

}  // namespace bight::mechanics

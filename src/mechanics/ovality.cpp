#include "mechanics/ovality.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "base/positive.h"

namespace bight::mechanics {
using base::positive;

namespace {

using base::Failure;
using base::Result;

// Thin-wall, small-strain theory: outside these it is stretched, and says so.
constexpr double kThickWallFactor_ratio = 8.0;
constexpr double kTightBend_ratio = 2.0;
constexpr const char* kWallReason =
    "the delivered wall may be 10 % over or under nominal (EN 10305-1)";

Result<base::Done> checked(const OvalityCase& bend, bool with_radius) {
  if (bend.section.kind() != stock::SectionKind::kRoundTube ||
      !(bend.poisson_ratio >= 0 && bend.poisson_ratio <= 0.5)) {
    return Failure{
        "ovality.section", "",
        fmt::format("ovality is worked out for round tube, not for {}", bend.section.text()),
        "give a round tube with Poisson's ratio within 0 to 0.5"};
  }
  if (with_radius && !(std::isfinite(bend.clr_mm) && bend.clr_mm > bend.section.height_mm() / 2)) {
    return Failure{"ovality.radius", "",
                   fmt::format("centreline radius {} mm is below half the diameter", bend.clr_mm),
                   "give the centreline radius of the bend"};
  }
  return base::Done{};
}

Result<base::Done> checked(const BendSupport& support, const stock::Section& section) {
  const double bore_mm = section.height_mm() - 2 * section.wall_mm();
  const bool nose_bad =
      support.nose_mm && !(positive(*support.nose_mm) && *support.nose_mm <= bore_mm);
  if (!(support.groove_play_mm >= 0) || !std::isfinite(support.groove_play_mm) || nose_bad ||
      (support.balls && !support.nose_mm)) {
    return Failure{"ovality.support", "",
                   fmt::format("groove play {} mm and this mandrel do not fit {}",
                               support.groove_play_mm, section.text()),
                   "give a play of 0 or more and a nose smaller than the bore"};
  }
  return base::Done{};
}

FlatteningTube tube_of(const OvalityCase& bend, double wall_factor_ratio) {
  return {bend.section.height_mm(), bend.section.wall_mm() * wall_factor_ratio, bend.poisson_ratio};
}

// u1 of an amplitude: the free ring narrows and widens by 2 zeta r each, the cradled one only
// loses its crown.
double of_nominal_ratio(const FlatteningTube& tube, FlatteningMode mode, double amplitude_ratio) {
  const double span = mode == FlatteningMode::kFree ? 4.0 : 1.0;
  return span * amplitude_ratio * tube.mean_radius_mm() / tube.od_mm;
}

// u1 without any play, absent when the section collapses.
std::optional<double> flattened_ratio(const OvalityCase& bend, FlatteningMode mode,
                                      double wall_factor_ratio, double clr_mm) {
  const FlatteningTube tube = tube_of(bend, wall_factor_ratio);
  const auto state = stable_state(tube, bend.curve, mode, 1 / clr_mm);
  if (!state) return std::nullopt;
  return of_nominal_ratio(tube, mode, state->amplitude_ratio);
}

// Thick, nominal and thin delivered wall.
constexpr std::array<double, 3> kWalls{1 + kWallTolerance_ratio, 1.0, 1 - kWallTolerance_ratio};

struct Flattened {
  std::optional<double> thick, nominal, thin;
};

Flattened flattened(const OvalityCase& bend, FlatteningMode mode) {
  return {flattened_ratio(bend, mode, kWalls[0], bend.clr_mm),
          flattened_ratio(bend, mode, kWalls[1], bend.clr_mm),
          flattened_ratio(bend, mode, kWalls[2], bend.clr_mm)};
}

SectionFate fate_of(const Flattened& ratios) {
  if (!ratios.nominal) return SectionFate::kCollapses;
  return ratios.thin ? SectionFate::kHolds : SectionFate::kMayCollapse;
}

std::string stretched(const OvalityCase& bend) {
  std::string reason;
  if (bend.section.wall_factor_ratio() < kThickWallFactor_ratio) {
    reason += fmt::format("wall factor {:.1f} is below {:.0f}: thin-wall theory is stretched",
                          bend.section.wall_factor_ratio(), kThickWallFactor_ratio);
  }
  const double d_of_bend_ratio = bend.clr_mm / bend.section.height_mm();
  if (d_of_bend_ratio < kTightBend_ratio) {
    if (!reason.empty()) reason += "; ";
    reason += fmt::format(
        "a bend of {:.2f} D is tighter than {:.0f} D: small-strain theory is "
        "stretched",
        d_of_bend_ratio, kTightBend_ratio);
  }
  return reason;
}

OvalityForecast collapsed(const OvalityCase& bend, SectionFate fate, std::string_view held_by) {
  OvalityForecast forecast;
  forecast.fate = fate;
  forecast.message = fmt::format(
      "{} on radius {:.1f} mm {} {}: no ovality can be given", bend.section.text(), bend.clr_mm,
      fate == SectionFate::kCollapses ? "collapses" : "collapses if the wall comes 10 % thin",
      held_by);
  forecast.beyond_range = stretched(bend);
  return forecast;
}

OvalityForecast holds(const OvalityCase& bend, RatioSpread spread) {
  OvalityForecast forecast;
  forecast.message =
      fmt::format("ovality (Dmax - Dmin)/D about {:.1f} %, {:.1f} to {:.1f} %",
                  100 * spread.likely_ratio, 100 * spread.low_ratio, 100 * spread.high_ratio);
  forecast.of_nominal = std::move(spread);
  forecast.beyond_range = stretched(bend);
  return forecast;
}

// u1 that the mandrel's play alone allows, once the wall rests on the nose both sides.
double mandrel_play_ratio(const OvalityCase& bend, double nose_mm) {
  const double od_mm = bend.section.height_mm();
  return (od_mm - 2 * bend.section.wall_mm() - nose_mm) / od_mm;
}

OvalityForecast free_forecast(const OvalityCase& bend, const Flattened& ratios) {
  const SectionFate fate = fate_of(ratios);
  if (fate != SectionFate::kHolds) return collapsed(bend, fate, "when nothing supports it");
  return holds(bend, {ratios.thick.value_or(*ratios.nominal), *ratios.nominal, *ratios.thin,
                      "the delivered wall may be 10 % over or under nominal (EN 10305-1); the "
                      "model itself has not been proven on measured bends"});
}

OvalityForecast supported_forecast(const OvalityCase& bend, const BendSupport& support,
                                   const Flattened& ratios) {
  const double groove_ratio = support.groove_play_mm / bend.section.height_mm();
  const SectionFate fate = fate_of(ratios);
  if (support.balls) {
    const double play_ratio = mandrel_play_ratio(bend, *support.nose_mm);
    const double likely_ratio = std::min(play_ratio, ratios.nominal.value_or(play_ratio));
    return holds(bend, {0.0, likely_ratio, play_ratio + groove_ratio,
                        "balls hold the section to the play of mandrel and groove; how much of the "
                        "play is used is not known before a first bend"});
  }
  if (fate != SectionFate::kHolds) {
    // Beyond the nose of a plug mandrel the wall is as free as without one, but it is short.
    return support.nose_mm
               ? collapsed(bend, SectionFate::kMayCollapse, "beyond the nose of a plug mandrel")
               : collapsed(bend, fate, "in the groove without a mandrel");
  }
  const double thick_ratio = ratios.thick.value_or(*ratios.nominal);
  const double high_ratio = *ratios.thin + groove_ratio;
  const double likely_ratio = *ratios.nominal + groove_ratio / 2;
  if (support.nose_mm) {
    const double low_ratio = std::min(thick_ratio, mandrel_play_ratio(bend, *support.nose_mm));
    return holds(bend, {low_ratio, (low_ratio + likely_ratio) / 2, high_ratio,
                        "a plug mandrel holds the section at its nose only: between the mandrel's "
                        "play and the outer half flattening in the groove"});
  }
  return holds(bend,
               {thick_ratio, likely_ratio, high_ratio,
                "wall 10 % over or under nominal (EN 10305-1) and the groove's play; the lips "
                "of the groove are taken as unyielding, not proven on measured bends"});
}

}  // namespace

Result<BrazierLimit> brazier_limit(double mean_radius_mm, double wall_mm, double youngs_mpa,
                                   double poisson_ratio) {
  if (!positive(mean_radius_mm) || !positive(wall_mm) || wall_mm > mean_radius_mm ||
      !positive(youngs_mpa) || !(poisson_ratio >= 0 && poisson_ratio <= 0.5)) {
    return Failure{"ovality.section", "", "these sizes and moduli are not an elastic tube",
                   "give mean radius, wall, Young's modulus and Poisson's ratio within 0 to 0.5"};
  }
  const double constraint = std::sqrt(1 - poisson_ratio * poisson_ratio);
  return BrazierLimit{wall_mm / (mean_radius_mm * mean_radius_mm * constraint) * std::sqrt(2.0 / 9),
                      2 * std::numbers::sqrt2 * std::numbers::pi / 9 * youngs_mpa * mean_radius_mm *
                          wall_mm * wall_mm / constraint,
                      2.0 / 9};
}

Result<OvalityForecast> free_ovality(const OvalityCase& bend) {
  BIGHT_TRY([[maybe_unused]] const auto ok, checked(bend, true));
  return free_forecast(bend, flattened(bend, FlatteningMode::kFree));
}

Result<OvalityForecast> supported_ovality(const OvalityCase& bend, const BendSupport& support) {
  BIGHT_TRY([[maybe_unused]] const auto bend_ok, checked(bend, true));
  BIGHT_TRY([[maybe_unused]] const auto support_ok, checked(support, bend.section));
  return supported_forecast(bend, support, flattened(bend, FlatteningMode::kCradled));
}

OvalityCurves::OvalityCurves(const OvalityCase& bend, FlatteningMode mode)
    : bend_(bend),
      mode_(mode),
      paths_{FlatteningPath(tube_of(bend, kWalls[0]), bend.curve, mode),
             FlatteningPath(tube_of(bend, kWalls[1]), bend.curve, mode),
             FlatteningPath(tube_of(bend, kWalls[2]), bend.curve, mode)} {}

Result<OvalityCurves> OvalityCurves::make(const OvalityCase& bend, FlatteningMode mode) {
  BIGHT_TRY([[maybe_unused]] const auto ok, checked(bend, false));
  return OvalityCurves(bend, mode);
}

Result<OvalityForecast> OvalityCurves::at(double clr_mm) const { return at(clr_mm, BendSupport{}); }

Result<OvalityForecast> OvalityCurves::at(double clr_mm, const BendSupport& support) const {
  OvalityCase bend = bend_;
  bend.clr_mm = clr_mm;
  BIGHT_TRY([[maybe_unused]] const auto ok, checked(bend, true));
  BIGHT_TRY([[maybe_unused]] const auto support_ok, checked(support, bend.section));
  const bool tools = support.groove_play_mm > 0 || support.nose_mm || support.balls;
  if (mode_ == FlatteningMode::kFree && tools) {
    return Failure{"ovality.support", "", "these curves are of a tube that nothing supports",
                   "make them for a tube in a groove"};
  }
  std::array<std::optional<double>, 3> ratios;
  for (std::size_t i = 0; i < paths_.size(); ++i) {
    const auto state = paths_[i].at(1 / clr_mm);
    if (!state) continue;
    ratios[i] = of_nominal_ratio(tube_of(bend, kWalls[i]), mode_, state->amplitude_ratio);
  }
  const Flattened flattened{ratios[0], ratios[1], ratios[2]};
  return mode_ == FlatteningMode::kFree ? free_forecast(bend, flattened)
                                        : supported_forecast(bend, support, flattened);
}

LengthSpread OvalityCurves::collapse_clr_mm() const {
  return {1 / paths_[0].collapse_per_mm(), 1 / paths_[1].collapse_per_mm(),
          1 / paths_[2].collapse_per_mm(), kWallReason};
}

Result<LengthSpread> collapse_clr_mm(const OvalityCase& bend, FlatteningMode mode) {
  BIGHT_TRY([[maybe_unused]] const auto ok, checked(bend, false));
  const auto radius_mm = [&](double wall_factor_ratio) {
    return 1 / collapse_curvature_per_mm(tube_of(bend, wall_factor_ratio), bend.curve, mode);
  };
  return LengthSpread{radius_mm(kWalls[0]), radius_mm(kWalls[1]), radius_mm(kWalls[2]),
                      kWallReason};
}

Result<LengthSpread> smallest_clr_for_ovality_mm(const OvalityCase& bend,
                                                 const std::optional<BendSupport>& support,
                                                 double limit_ratio) {
  BIGHT_TRY([[maybe_unused]] const auto ok, checked(bend, false));
  double play_ratio = 0.0;
  if (support) {
    BIGHT_TRY([[maybe_unused]] const auto support_ok, checked(*support, bend.section));
    play_ratio = support->groove_play_mm / bend.section.height_mm();
    // Balls bound the ovality by play at any radius; the tightest is then half the diameter.
    if (support->balls) {
      const double bound_ratio = play_ratio + mandrel_play_ratio(bend, *support->nose_mm);
      if (bound_ratio <= limit_ratio) {
        const double tightest_mm = bend.section.height_mm() / 2;
        return LengthSpread{tightest_mm, tightest_mm, tightest_mm,
                            "the mandrel's play keeps within the limit at any radius"};
      }
    }
  }
  if (!(limit_ratio > play_ratio && limit_ratio < 1)) {
    return Failure{"ovality.limit", "",
                   fmt::format("an ovality limit of {:.2f} % cannot be met with {:.2f} % of play",
                               100 * limit_ratio, 100 * play_ratio),
                   "a closer groove, or a wider limit below 100 %"};
  }
  const auto mode = support ? FlatteningMode::kCradled : FlatteningMode::kFree;
  const auto smallest_mm = [&](double wall_factor_ratio) {
    double low_mm = bend.section.height_mm() / 2;
    double high_mm = bend.section.height_mm();
    const auto within = [&](double clr_mm) {
      const auto ratio = flattened_ratio(bend, mode, wall_factor_ratio, clr_mm);
      return ratio && *ratio + play_ratio <= limit_ratio;
    };
    while (!within(high_mm)) high_mm *= 2;
    while (high_mm > low_mm * (1 + 1e-4)) {
      const double middle_mm = (low_mm + high_mm) / 2;
      (within(middle_mm) ? high_mm : low_mm) = middle_mm;
    }
    return high_mm;
  };
  return LengthSpread{smallest_mm(kWalls[0]), smallest_mm(kWalls[1]), smallest_mm(kWalls[2]),
                      kWallReason};
}

}  // namespace bight::mechanics

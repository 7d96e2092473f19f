#include "mechanics/bend_inverse.h"

#include <fmt/format.h>

#include <cmath>

namespace bight::mechanics {

namespace {

// The tightest and gentlest radius looked at, in section heights.
constexpr double kTightest_ratio = 0.52;
constexpr double kGentlest_ratio = 1000.0;
constexpr int kHalvings = 48;  // 1000 heights down to 1e-11 of one

base::Result<BendPrediction> at_radius(BendCase bend, double radius_mm) {
  bend.die_radius_mm = radius_mm;
  return predict_bend(bend);
}

// Smallest radius at which `acceptable` holds; it must hold from some radius upwards.
template <typename F>
base::Result<double> smallest_radius(const BendCase& bend, const char* what, F&& acceptable) {
  double low = kTightest_ratio * bend.section.height_mm();
  double high = kGentlest_ratio * bend.section.height_mm();
  BIGHT_TRY(const BendPrediction gentlest, at_radius(bend, high));
  if (!acceptable(gentlest)) {
    return base::Failure{"bend.unreachable", what,
                         fmt::format("no radius up to {:.5g} mm keeps this limit", high),
                         "a looser limit"};
  }
  BIGHT_TRY(const BendPrediction tightest, at_radius(bend, low));
  if (acceptable(tightest)) return low;
  for (int i = 0; i < kHalvings; ++i) {
    const double middle = std::sqrt(low * high);
    BIGHT_TRY(const BendPrediction out, at_radius(bend, middle));
    (acceptable(out) ? high : low) = middle;
  }
  return high;
}

base::Failure bad_share(const char* what, double value) {
  return {"bend.input", what, fmt::format("{} is not a share", value), "a number between 0 and 1"};
}

}  // namespace

base::Result<double> die_radius_for_mm(const BendCase& bend, double released_radius_mm) {
  double low = kTightest_ratio * bend.section.height_mm();
  double high = released_radius_mm;
  if (!std::isfinite(high) || high <= low) {
    return base::Failure{"bend.unreachable", "radius",
                         fmt::format("{:.5g} mm is inside a section {:.5g} mm high",
                                     released_radius_mm, bend.section.height_mm()),
                         "a larger radius"};
  }
  BIGHT_TRY(const BendPrediction tightest, at_radius(bend, low));
  if (tightest.released_radius_mm > released_radius_mm) {
    return base::Failure{"bend.unreachable", "radius",
                         fmt::format("even a die of {:.5g} mm releases to {:.5g} mm", low,
                                     tightest.released_radius_mm),
                         "a larger radius"};
  }
  for (int i = 0; i < kHalvings; ++i) {
    const double middle = 0.5 * (low + high);
    BIGHT_TRY(const BendPrediction out, at_radius(bend, middle));
    (out.released_radius_mm > released_radius_mm ? high : low) = middle;
  }
  return 0.5 * (low + high);
}

base::Result<double> smallest_radius_for_wall_mm(const BendCase& bend, double wall_ratio) {
  if (!(wall_ratio > 0.0 && wall_ratio < 1.0)) return bad_share("wall", wall_ratio);
  return smallest_radius(
      bend, "wall", [&](const BendPrediction& out) { return out.wall_outer_ratio >= wall_ratio; });
}

base::Result<double> smallest_radius_for_strain_mm(const BendCase& bend, double strain_ratio) {
  if (!(strain_ratio > 0.0 && std::isfinite(strain_ratio)))
    return bad_share("strain", strain_ratio);
  return smallest_radius(bend, "strain", [&](const BendPrediction& out) {
    return out.outer_strain_ratio <= strain_ratio;
  });
}

}  // namespace bight::mechanics

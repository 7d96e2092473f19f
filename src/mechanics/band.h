// How far a prediction may be out because stock is never exactly what its label says, and which
// tolerance is to blame.
#pragma once

#include <array>
#include <cstddef>
#include <string_view>

#include "base/result.h"
#include "mechanics/bend.h"

namespace bight::mechanics {

// What scatters.
enum class Cause { kStrength, kHardening, kYoungs, kWall, kSize, kHold };
inline constexpr std::size_t kCauses = 6;
// "strength", "hardening", "Young's modulus", "wall tolerance", "size tolerance", "hoop hold".
std::string_view words(Cause cause);

// Half-widths of the inputs about the case's own values: two standard deviations of a normal
// distribution (a tolerance or a certificate's spread is taken to hold 95 % of the stock). The
// defaults are rules of thumb for bought tube without a certificate; give the standard's tolerance
// and the certificate's numbers where there are any.
struct Scatter {
  double strength_ratio = 0.10;   // of all flow stresses
  double hardening_ratio = 0.20;  // of the hardening exponent
  double youngs_ratio = 0.03;
  double wall_ratio = 0.10;
  double size_ratio = 0.005;  // outside size
  // Hoop hold: evenly between the case's own and this value.
  double hold_to_ratio = 0.0;
};

// A number with its 95 % interval and the reason for its width. Unit: the member that holds it.
struct Band {
  double low = 0.0;
  double likely = 0.0;  // the case as given
  double high = 0.0;
  Cause cause = Cause::kStrength;  // the input that explains most of the variance
  // Share of the variance that each input explains by itself, linearly (squared correlation).
  std::array<double, kCauses> share_ratio{};
};

// The band of every output that a plan uses.
struct BendBand {
  Band moment_nmm;
  Band springback_ratio;
  Band released_radius_mm;
  Band wall_outer_ratio;
  Band wall_outer_mm;
  Band wall_inner_mm;
  Band outer_strain_ratio;
  Band stretch_ratio;
  Band constant_rad;
};

inline constexpr int kBandSamples = 1024;

// Propagates the scatter through predict_bend() with Sobol points: input scatter only, the model's
// own error comes on top (springback: kUncalibratedSpringback_ratio).
// Failure codes: band.input (a half-width negative or above 1/2, hold above 1); those of
// predict_bend() for the case itself.
base::Result<BendBand> bend_band(const BendCase& bend, const Scatter& scatter);

}  // namespace bight::mechanics

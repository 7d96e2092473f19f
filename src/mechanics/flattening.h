// Equilibrium of a bent round tube whose section may flatten: the engine under ovality.h.
#pragma once

#include <optional>

#include "stock/flow_curve.h"

namespace bight::mechanics {

// Which part of the section may move, inextensible in the hoop direction, with an amplitude zeta
// (crown moves inward by zeta r). phi runs from the neutral axis, y = r sin(phi).
//   kFree     the whole ring: w = zeta r cos(2 phi), the classical flattening of a free tube
//   kCradled  outer half only, springings held in the groove: w = -(zeta r / 2)(cos 4phi - cos
//   2phi)
enum class FlatteningMode { kFree, kCradled };

// Thin round tube: outside diameter D, wall t, mean radius r = (D - t)/2.
struct FlatteningTube {
  double od_mm = 0.0;
  double wall_mm = 0.0;
  double poisson_ratio = 0.3;

  double mean_radius_mm() const { return (od_mm - wall_mm) / 2; }
};

// State at one curvature.
struct FlatteningState {
  double amplitude_ratio = 0.0;  // zeta
  double moment_nmm = 0.0;
};

// The flattening that minimises the energy of axial straining and hoop bending at a curvature
// (deformation theory of plasticity, plane stress, no net hoop force). Nothing when no equilibrium
// exists below zeta = 0.45: the section folds.
// The tube's sizes and the curvature must be positive (checked by the callers).
std::optional<FlatteningState> flattening_state(const FlatteningTube& tube,
                                                const stock::FlowCurve& curve, FlatteningMode mode,
                                                double curvature_per_mm);

// The same where the moment still rises with curvature; nothing where it does not, because beyond
// its greatest moment the bend localises and the section collapses. The moment is taken to have one
// maximum. Mean of two states a thousandth of the curvature apart.
std::optional<FlatteningState> stable_state(const FlatteningTube& tube,
                                            const stock::FlowCurve& curve, FlatteningMode mode,
                                            double curvature_per_mm);

// Smallest curvature at which the section collapses, by bisection to 1e-4 of itself. Infinity when
// nothing collapses before the tightest possible bend, radius D/2.
double collapse_curvature_per_mm(const FlatteningTube& tube, const stock::FlowCurve& curve,
                                 FlatteningMode mode);

}  // namespace bight::mechanics

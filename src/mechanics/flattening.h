// Equilibrium of a bent round tube whose section may flatten: the engine under ovality.h.
#pragma once

#include <optional>

#include "mechanics/flattening_section.h"
#include "stock/flow_curve.h"

namespace bight::mechanics {

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

// The equilibrium at a curvature, on a section that may have been asked before. A guess of zeta, if
// good, saves most of the search; a bad one costs nothing but time.
std::optional<FlatteningState> flattening_state(FlatteningSection& section, double curvature_per_mm,
                                                std::optional<double> guess_ratio = {});

// Smallest curvature at which the section collapses, by bisection to 1e-4 of itself. Infinity when
// nothing collapses before the tightest possible bend, radius D/2.
double collapse_curvature_per_mm(const FlatteningTube& tube, const stock::FlowCurve& curve,
                                 FlatteningMode mode);

}  // namespace bight::mechanics

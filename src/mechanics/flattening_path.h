// The whole way of a tube from straight to collapse, worked out once, so that any bend radius on it
// is a look-up: what a slider needs.
#pragma once

#include <optional>
#include <vector>

#include "mechanics/flattening.h"

namespace bight::mechanics {

// Equilibria of flattening.h at curvatures a twelfth apart, cubic between them. Against the
// equilibrium itself: amplitude within 1.5 %, moment within 0.3 %, collapse curvature within 0.1 %
// (measured figures in docs/theory/ovality.md). Building takes about ten milliseconds, a look-up
// less than a tenth of a microsecond.
class FlatteningPath {
 public:
  // Sizes positive, Poisson's ratio within 0 to 0.5: the caller's to check.
  FlatteningPath(const FlatteningTube& tube, const stock::FlowCurve& curve, FlatteningMode mode);

  // The stable state at a curvature; nothing beyond collapse. Bends tighter than radius D/2 are
  // answered as that one.
  std::optional<FlatteningState> at(double curvature_per_mm) const;

  // Where the moment is greatest; infinity when nothing collapses before radius D/2.
  double collapse_per_mm() const { return collapse_per_mm_; }

 private:
  struct Knot {
    double log_curvature = 0.0;
    double log_amplitude = 0.0, amplitude_slope = 0.0;  // slopes by the logarithm of the curvature
    double moment_nmm = 0.0, moment_slope = 0.0;
  };
  void add(double curvature_per_mm, const FlatteningState& state);
  void set_slopes();
  // State and curvature of the greatest moment between two curvatures.
  void close_in(FlatteningSection& section, double low_per_mm, double high_per_mm);

  std::vector<Knot> knots_;
  double collapse_per_mm_;
};

}  // namespace bight::mechanics

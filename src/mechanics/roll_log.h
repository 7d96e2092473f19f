// What logged roll passes teach: the next position for a target radius, and one factor per machine.
#pragma once

#include <span>
#include <vector>

#include "base/result.h"
#include "mechanics/three_roll.h"

namespace bight::mechanics {

// One pass as it was read at the machine: scale of the top roll, and measured radius to whatever
// line the setter always measures to (all passes and the target alike).
struct LoggedPass {
  double position_mm = 0.0;
  double radius_mm = 0.0;
};

struct NextPass {
  double position_mm = 0.0;        // where the target radius is expected
  double stop_mm = 0.0;            // stop here first and measure: over-rolling cannot be undone
  double curvature_per_mm2 = 0.0;  // slope: curvature gained per millimetre of travel
  bool far_ahead = false;          // further ahead than the two passes are apart
};

// The next position from the last two logged passes: curvature (1 / radius) is nearly linear in
// the roll position over a short range (common practice, no source). The stop is 0.5 mm short, or
// half the way if that is nearer, rounded down to the scale's 0.1 mm.
// Failure codes: roll.log (fewer than two passes, a number not positive and finite, two passes at
// one position, or a later pass with a wider radius), roll.target (target not
// tighter than the last pass).
base::Result<NextPass> next_pass(std::span<const LoggedPass> passes, double target_radius_mm);

// How one machine's scale stands to the model: reading = zero + factor * model travel.
struct MachineScale {
  double zero_mm = 0.0;
  double factor_ratio = 1.0;
  double worst_mm = 0.0;  // largest reading left unexplained by the fit; 0 with two passes
  int num_passes = 0;
};

// Fit of zero and factor to logged passes of one bar, each pass taking over the bar from the pass
// before it, the first from straight stock. Radii must be to the centreline, readings must rise as
// the roll goes in.
// With one pass the scale's zero must be known (the reading when the top roll just touches the
// straight bar). With more passes a known zero is kept and only the factor is fitted.
// Failure codes: roll.log (no pass, one pass and no zero, radii that do not get tighter, a fit
// whose factor is not positive) and those of roll_to_radius.
base::Result<MachineScale> learn_scale(const RollMachine& machine, const RollBar& bar,
                                       std::span<const LoggedPass> passes,
                                       std::optional<double> zero_mm);

}  // namespace bight::mechanics

#include "learning/stretch.h"

#include <fmt/format.h>

#include <cmath>

namespace bight::learning {

using base::Failure;

base::Result<StretchReading> read_stretch(const LengthTrial& trial) {
  for (const double length_mm : {trial.blank_mm, trial.leg_a_outside_mm, trial.leg_b_outside_mm,
                                 trial.od_mm, trial.radius_mm}) {
    if (!std::isfinite(length_mm) || length_mm <= 0.0) {
      return Failure{"stretch.number", "trial", "a length of the trial is missing or not positive",
                     "give blank, both legs over the outside, tube size and radius"};
    }
  }
  const double angle_rad = trial.finished.rad();
  if (!(trial.finished.deg() >= 5.0 && trial.finished.deg() <= 150.0)) {
    return Failure{"stretch.angle", "trial",
                   fmt::format("legs of a {:.4g}° bend have no outside corner to measure to",
                               trial.finished.deg()),
                   "prove the length on one 90° bend"};
  }
  const double tangent_ratio = base::tan(trial.finished / 2.0);
  const double legs_mm = trial.leg_a_outside_mm + trial.leg_b_outside_mm;
  StretchReading reading;
  reading.effective_arc_mm =
      trial.blank_mm - legs_mm + 2.0 * (trial.radius_mm + trial.od_mm / 2.0) * tangent_ratio;
  if (reading.effective_arc_mm <= 0.0) {
    return Failure{"stretch.number", "trial",
                   fmt::format("legs of {:.1f} and {:.1f} mm cannot come from a {:.1f} mm blank",
                               trial.leg_a_outside_mm, trial.leg_b_outside_mm, trial.blank_mm),
                   "measure the blank and both legs again, to the outside"};
  }
  reading.arc_ratio = reading.effective_arc_mm / (trial.radius_mm * angle_rad);
  // No stretch: blank = A + B - 2 (R + D/2) tan + R angle, solved for R.
  const double gain_mm = legs_mm - trial.blank_mm - trial.od_mm * tangent_ratio;
  reading.implied_radius_mm = gain_mm / (2.0 * tangent_ratio - angle_rad);
  return reading;
}

double mark_offset_mm(const LengthTrial& trial, double mark_mm) {
  const double tangent_mm = trial.leg_a_outside_mm -
                            (trial.radius_mm + trial.od_mm / 2.0) * base::tan(trial.finished / 2.0);
  return tangent_mm - mark_mm;
}

}  // namespace bight::learning

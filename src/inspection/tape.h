// Angles and radii from a tape: what to measure, and how far to trust it.
#pragma once

#include "base/angle.h"
#include "base/result.h"

namespace bight::inspection {

// Distance between a mark leg_a_mm along one straight edge of a bend and one leg_b_mm along the
// other, both from where the edges meet: sqrt(a² + b² + 2ab cos(angle)). (Cosine rule, with the
// bend angle as the change of direction.)
double across_mm(base::Angle angle, double leg_a_mm, double leg_b_mm);

struct TapedAngle {
  base::Angle angle;
  base::Angle per_mm;  // change of the angle for 1 mm more or less across, as a positive angle
};

// The bend angle that a distance across means. per_mm grows without bound towards 0° and 180°,
// where the tape tells nothing; it is then 180°.
// Failure code: tape.triangle (a length not positive, or legs that cannot reach that far).
base::Result<TapedAngle> angle_from_across(double leg_a_mm, double leg_b_mm, double across_mm);

struct TapedRadius {
  double radius_mm = 0.0;
  double low_mm = 0.0;   // with the rise read error_mm too large
  double high_mm = 0.0;  // with it read too small; infinite where that leaves no rise
};

// Radius of an arc from a chord and the rise over its middle: c²/(8h) + h/2. To the line that chord
// and rise are measured on.
// Failure code: tape.triangle (not positive, or a rise above half the chord).
base::Result<TapedRadius> radius_from_rise(double chord_mm, double rise_mm, double error_mm = 0.5);

}  // namespace bight::inspection

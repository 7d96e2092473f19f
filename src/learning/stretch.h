// How much blank one bend uses, learned from a measured trial bend.
#pragma once

#include <string>
#include <vector>

#include "base/angle.h"
#include "base/result.h"

namespace bight::learning {

// A trial bend whose blank and legs were measured. Legs run from the tube's end to the outside of
// the other leg (where the two outside edges meet).
struct LengthTrial {
  double blank_mm = 0.0;
  double leg_a_outside_mm = 0.0;
  double leg_b_outside_mm = 0.0;
  base::Angle finished;
  double od_mm = 0.0;
  double radius_mm = 0.0;  // centreline radius after release, as believed
};

struct StretchReading {
  double effective_arc_mm = 0.0;  // blank the bend used
  double arc_ratio = 0.0;         // effective arc / (radius * angle)
  // The radius at which the same legs would mean no stretch at all. Far from the believed radius
  // it points at a reading error.
  double implied_radius_mm = 0.0;
};

// effective arc = blank - (A + B) + 2 (R + D/2) tan(angle/2).
// Failure codes: stretch.angle (finished angle outside 5°..150°: legs have no outside corner that
// can be measured), stretch.number (a length not positive or legs longer than the tube allows).
base::Result<StretchReading> read_stretch(const LengthTrial& trial);

// Distance from the die's reference mark to the tangent point, positive when the tangent lies
// beyond the mark (towards leg B): (A - (R + D/2) tan(angle/2)) - mark.
double mark_offset_mm(const LengthTrial& trial, double mark_mm);

}  // namespace bight::learning

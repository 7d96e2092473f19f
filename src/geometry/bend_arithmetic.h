// Arithmetic of single bends, offsets and saddles as done at the bench with a rule: exact, and the
// straight-line shortcuts the electrical trade teaches. Plane geometry throughout; a mark is the
// middle of its bend's arc on the straight blank unless said otherwise.
#pragma once

#include <optional>

#include "base/angle.h"
#include "base/result.h"

namespace bight::geometry {

// What one bend saves against going to the corner and on: R (2 tan(a/2) - a). 0.4292 R at 90°.
// angle in [0°, 180°); grows without bound towards 180°.
double gain_mm(base::Angle angle, double radius_mm);

// What a 90° bend saves when both legs are measured to their backs: gain + outside size.
double back_to_back_gain_mm(double radius_mm, double od_mm);

// Start of bend on the blank, from the end, for a leg measured to where the outsides of both legs
// meet: outside - (R + OD/2) tan(a/2). angle in [0°, 180°).
double start_of_bend_mm(double outside_mm, base::Angle angle, double radius_mm, double od_mm);

// The mark for a stub of the given height with a tool whose take-up (mark to back of the bend) is
// known: height - take-up. Take-up belongs to one tool: measure it with a bend.
// Failure code: marks.take-up (the stub is lower than the take-up).
base::Result<double> take_up_mark_mm(double height_mm, double take_up_mm);

// An equal-angle offset. spacing: between the two marks; shrink: how much nearer the far end
// comes; straight: between the arcs (negative: they overlap); half_gain: how far the mark of the
// first bend lies before its corner.
struct OffsetLengths {
  double spacing_mm = 0.0;
  double shrink_mm = 0.0;
  double straight_mm = 0.0;
  double half_gain_mm = 0.0;
};

// rise / sin a - G, rise tan(a/2) - 2 G, rise / sin a - 2 R tan(a/2) with G = gain_mm.
// angle in (0°, 90°]. Radius 0 is the straight-line shortcut: it makes the finished rise too large
// by G sin a.
OffsetLengths offset_lengths(double rise_mm, base::Angle angle, double radius_mm);

// The rounded constants of the trade's cards.
struct TradeConstants {
  double multiplier_ratio = 0.0;  // spacing per rise
  double shrink_ratio = 0.0;      // shrink per rise
};

// For 10, 15, 22.5, 30, 45 and 60°; nothing between them.
std::optional<TradeConstants> trade_constants(base::Angle angle);

// Marks on the blank, from its end.
struct OffsetMarks {
  double near_mm = 0.0;
  double far_mm = 0.0;
};

// An offset that has risen when it meets an obstacle: its far corner stands there. The far mark
// lies past the obstacle's distance by the shrink, the near mark before it by the spacing
// (Goodheart-Willcox, Modern Residential Wiring, 2021, p. 148).
OffsetMarks marks_before_obstacle(double obstacle_mm, const OffsetLengths& offset);
// An offset that starts down where the obstacle ends: its near corner stands there (p. 149).
OffsetMarks marks_after_obstacle(double obstacle_end_mm, const OffsetLengths& offset);

// Two equal bends that shift the line sideways both ways at once.
struct RollingOffset {
  double true_offset_mm = 0.0;  // sqrt(set² + roll²)
  double travel_mm = 0.0;       // corner to corner
  double advance_mm = 0.0;      // travel along the run
  base::Angle roll;             // of the offset's plane from the set, atan(roll / set)
};

// angle in (0°, 90°].
RollingOffset rolling_offset(double set_mm, double roll_mm, base::Angle angle);

struct SaddleMarks {
  double near_mm = 0.0;
  double centre_mm = 0.0;
  double far_mm = 0.0;
};

// Three bends over an obstacle, 22.5°, 45°, 22.5°, by the trade's card: centre mark ahead by 3/16
// of the depth, outer marks 2.5 depths either side.
SaddleMarks trade_saddle_marks(double depth_mm, double centre_mm);

// Exact: outer bends of `outer`, the centre bend of twice that, crown of the centreline `depth`
// above the run and over centre_mm. outer in (0°, 90°).
SaddleMarks saddle_marks(double depth_mm, double centre_mm, base::Angle outer, double radius_mm);

// Four equal bends over an obstacle: two offsets back to back, corners top_mm apart.
struct FourPointMarks {
  OffsetMarks up;
  OffsetMarks down;
};

FourPointMarks four_point_marks(double depth_mm, double top_mm, double centre_mm, base::Angle angle,
                                double radius_mm);

// A bend made of equal small shots.
struct ShotPlan {
  base::Angle per_shot;
  double spacing_mm = 0.0;  // of the marks along the centreline
};

// num_shots >= 1.
ShotPlan shots(base::Angle angle, double radius_mm, int num_shots);

// The bend between two straight rails: pitches from the level (up positive), and the turn seen in
// plan. cos a = sin p1 sin p2 + cos p1 cos p2 cos t (spherical cosine rule), worked out with the
// cross product so that no digit is lost.
base::Angle true_bend_angle(base::Angle pitch_before, base::Angle pitch_after,
                            base::Angle plan_turn);

}  // namespace bight::geometry

// What a tape, a square and a table can check on the finished part.
#pragma once

#include <vector>

#include "base/length.h"
#include "planning/plan.h"

namespace bight::planning {

// Overall size over the tube with the plane of bend 1 flat on the table, the straight line
// between the end centres, each end leg over the outside of its bend, and for every bend of
// 20° to 150° with legs long enough the tape triangle: the same length marked along both outside
// edges from where they meet, and the distance across. 1 mm across is about 0.3° at 300 mm.
std::vector<CheckDimension> check_dimensions(const geometry::BendTable& bent,
                                             const stock::Section& section,
                                             const base::LengthStyle& style);

// From the end of a straight to where the outside edges of its bend would meet:
// (R + height / 2) tan(angle / 2).
double over_outside_mm(const geometry::BendRow& row, double height_mm);

// Distance across a bend of the angle between marks leg_mm along each straight edge from where
// the edges meet: 2 leg cos(angle / 2). (Plane geometry.)
double across_mm(base::Angle angle, double leg_mm);

// The longest round leg (multiple of 50 mm, or 2 in) up to 300 mm or 12 in within what there is.
double round_leg_mm(double available_mm, const base::LengthStyle& style);

// The bend angle that such a reading means.
base::Angle angle_from_across(double leg_a_mm, double leg_b_mm, double across_mm);

}  // namespace bight::planning

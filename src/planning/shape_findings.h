// What the drawing itself, and the straights between its bends, bring up.
#pragma once

#include <vector>

#include "base/length.h"
#include "planning/plan.h"

namespace bight::planning {

// Findings on the drawn part alone: arcs that eat their straights, radii below half the tube,
// numbers that look like the wrong unit, bends too shallow to have a plane, arcs that meet.
std::vector<part::Finding> drawing_findings(const part::Part& part, const base::LengthStyle& style);

// Straights between made bends against clamp and pressure die, in the order worked: steps, order
// and bent table of the plan.
std::vector<part::Finding> straight_findings(const Plan& plan, const base::LengthStyle& style);

}  // namespace bight::planning

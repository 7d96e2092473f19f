// What the metal and the machine's strength have to say about a plan.
#pragma once

#include "planning/plan.h"

namespace bight::planning {

// Forecasts the metal in each die of the plan, fills in torque and speed of each step, and adds
// what the forecasts find.
void add_metal_findings(Plan& plan);

}  // namespace bight::planning

// What the metal and the machine's strength have to say about a plan.
#pragma once

#include "base/length.h"
#include "planning/plan.h"

namespace bight::planning {

// Fills in torque and speed of each step, and adds findings: stretch of the outside against the
// metal's elongation, and torque against the bender.
void add_metal_findings(Plan& plan, const base::LengthStyle& style);

}  // namespace bight::planning

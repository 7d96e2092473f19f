// The acceptance rules a part names, held against its plan.
#pragma once

#include "planning/plan.h"

namespace bight::planning {

// Judges every rule of the part on every bend with what is known before bending (size, radius,
// metal, seam), keeps the worst bend of each in plan.rule_checks, and adds a finding for what is
// not met, what only a measured part can show, and what no rule of that name is.
void add_rule_findings(Plan& plan);

}  // namespace bight::planning

// A run of pieces begun from a plan.
#pragma once

#include "planning/plan.h"
#include "running/run.h"

namespace bight::planning {

// The steps of a plan as a run of so many pieces, nothing done yet.
running::Run run_of_plan(const Plan& plan, int pieces);

}  // namespace bight::planning

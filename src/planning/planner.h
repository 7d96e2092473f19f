// plan(Part, Shop) -> Plan: the whole road from a drawing to what is done at the bench.
#pragma once

#include "base/length.h"
#include "base/result.h"
#include "planning/plan.h"
#include "planning/tooling.h"

namespace bight::planning {

struct PlanOptions {
  ToolingWish wish;
  End from = End::kA;
  base::LengthStyle style;  // of lengths in findings
};

// Chooses tooling, gives each bend the radius it will really have, lays out the blank, and works
// out every step with its band. Goes as far as it can: without a die the plan still holds the
// part, its bend table and the findings that say why.
// Failure codes: plan.unknown-bender, plan.unknown-die.
base::Result<Plan> plan(const part::Part& part, const workshop::Shop& shop,
                        const PlanOptions& options = {});

}  // namespace bight::planning

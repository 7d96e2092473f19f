// plan(Part, Shop) -> Plan: the whole road from a drawing to what is done at the bench.
#pragma once

#include "base/length.h"
#include "base/result.h"
#include "ordering/problem.h"
#include "planning/plan.h"
#include "planning/tooling.h"

namespace bight::planning {

struct PlanOptions {
  ToolingWish wish;
  End from = End::kA;  // of the drawing order; goes ahead first when nothing else decides
  OrderWish order;
  bool alternatives = false;  // other orders even where nothing speaks against the one taken
  ordering::Agreed agreed;    // what counts as clear
  ordering::Effort effort;    // how much a search for an order may be
  bool changes = false;       // where no order works: look for the least change that helps
  base::LengthStyle style;    // of lengths in findings
};

// Chooses tooling, gives each bend the radius it will really have, lays out the blank, and works
// out every step with its band. Goes as far as it can: without a die the plan still holds the
// part, its bend table and the findings that say why.
// Where something is known of the bender's bodies or its room, every step is compared with them,
// and the order of bends follows PlanOptions::order; docs/adr/0008 says why it is kept as drawn
// where that works. Failure codes: plan.unknown-bender, plan.unknown-die, plan.order.
base::Result<Plan> plan(const part::Part& part, const workshop::Shop& shop,
                        const PlanOptions& options = {});

}  // namespace bight::planning

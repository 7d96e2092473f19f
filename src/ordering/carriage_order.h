// Orders of a carriage-fed bender: fixed along the tube, from one end or the other.
#pragma once

#include <vector>

#include "ordering/step_book.h"
#include "ordering/step_rules.h"

namespace bight::ordering {

// The best sequence for each end ahead, the better of the two first. In each step the tube may be
// turned either way round and made with any of the bend's dies: the widest margin first, then
// fewest die changes, then least turning.
// Failure codes: those of clearance::StepChecker::make.
base::Result<std::vector<Sequence>> carriage_orders(const Problem& problem, const StepRules& rules,
                                                    const Agreed& agreed);

}  // namespace bight::ordering

// What the order of bends brings up: hits, narrow places, flips, and what was not compared.
#pragma once

#include <vector>

#include "base/length.h"
#include "ordering/problem.h"
#include "planning/choose_order.h"
#include "planning/plan.h"

namespace bight::planning {

// Findings on the order taken; steps, order and alternatives of the plan are there already.
std::vector<part::Finding> order_findings(const Plan& plan, const ChosenOrder& chosen,
                                          const OrderQuestion& question,
                                          const base::LengthStyle& style);

// The order summed up in numbers and words.
WorkOrder summed_up(const OrderQuestion& question, const TriedOrder& tried,
                    const base::LengthStyle& style);

// Marks the best of all orders where the search has proven that there is none better.
void mark_best(const ChosenOrder& chosen, const OrderWish& wish, Plan& plan);

// The best other order that works goes before the remedies of these.
void offer_other_order(const Plan& plan, std::vector<part::Finding>& findings);

// One step's comparison as a plan keeps it.
StepClearing step_clearing(const ordering::StepReport& report);

}  // namespace bight::planning

// When no order of bends works: the smallest change with which one does.
#pragma once

#include <vector>

#include "part/part.h"
#include "planning/planner.h"
#include "workshop/shop.h"

namespace bight::planning {

// The plan's steps cannot be made as they are, and no other order that was looked at can.
bool no_order_works(const Plan& plan);

// Looks for one change at a time: a straight longer or shorter (to whole millimetres, up to
// kMostChange_mm), another die set or bender, a stand under the bender (in steps of 10 mm), the
// part as two pieces joined in the middle of a straight. Each that is named was planned again, with
// a search for its order. One finding for each that does, order.would-work, the smallest change of
// a straight first; or one that says what was tried, order.nothing-works. What depends on a size
// is halved down to, so a smaller change may exist where more does not always help.
// Pre: no_order_works(plan).
std::vector<part::Finding> changes_that_work(const part::Part& part, const workshop::Shop& shop,
                                             const PlanOptions& options, const Plan& plan);
inline constexpr int kMostChange_mm = 300;

}  // namespace bight::planning

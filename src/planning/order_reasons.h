// Why one order of bends stands before another.
#pragma once

#include <string>
#include <vector>

#include "base/length.h"
#include "planning/plan.h"

namespace bight::planning {

// An order with its place among the others.
struct RankedOrder {
  WorkOrder order;
  bool taken = false;  // the plan's steps follow it
  bool drawn = false;  // along the drawing from the end the plan was asked to start from
  // How it goes, and by what it stands behind the order before it; whole sentences without a stop.
  std::vector<std::string> reasons;
};

// What makes `behind` worse than `ahead`, the weightiest first thing only: "needs one flip end for
// end more", "passes nearer: 12.0 mm instead of 82.0 mm". Empty when nothing that is counted does.
// Pre: both compared.
std::string drawback(const WorkOrder& ahead, const WorkOrder& behind,
                     const base::LengthStyle& style);

// The plan's order and its alternatives, the best first. Orders that were not compared with machine
// and room stand last. `from` is the end the drawing order was asked to start from.
std::vector<RankedOrder> ranked(const Plan& plan, End from, const base::LengthStyle& style);

}  // namespace bight::planning

// What the tube looks like after each step, and what a tape finds there.
#pragma once

#include <vector>

#include "base/length.h"
#include "geometry/bend_table.h"
#include "planning/plan.h"

namespace bight::planning {

struct AfterStep {
  // The blank from its end A to its end B, grip and trim with it, with the bends made by then;
  // radii and angles after release.
  geometry::BendTable table;
  std::vector<std::size_t> bends;  // beside its rows: their numbers on the part, from 1
  // Two lengths that a tape reaches without taking the tube out of the shop's reach: from an end to
  // the outside of the bend just made, across that bend, between the ends, or over all.
  std::vector<CheckDimension> checks;
};

// One for each step. Empty for a plan without steps.
std::vector<AfterStep> after_steps(const Plan& plan, const base::LengthStyle& style);

}  // namespace bight::planning

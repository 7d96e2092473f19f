// A plan's steps as the clearance room sees them: does the tube clear machine, room and itself?
#pragma once

#include <string>
#include <vector>

#include "clearance/movement.h"
#include "clearance/step_clearance.h"
#include "planning/plan.h"

namespace bight::planning {

// A section that is not round counts as round with its largest diagonal.
double round_od_mm(const stock::Section& section);

// The tube on its bender, step by step in the plan's order.
struct Clearing {
  clearance::Tube tube;
  workshop::Bender bender;
  // For each of Plan::dies: that die, then those of other levels that stay mounted with it.
  std::vector<std::vector<workshop::DieSet>> mounted;
  std::vector<clearance::Step> steps;    // beside Plan::steps; the die is the first mounted
  std::vector<std::size_t> die_of_step;  // into mounted

  // Points into this object.
  clearance::Setup setup(std::size_t step) const;
};

// Bends are made at their likely set angle, in the plan's order with the plan's ends ahead. The
// tube counts as round with its largest diagonal. Failure codes: clear.no-steps (the plan has none,
// or its bender rolls without them), those of clearance::Tube::valid.
base::Result<Clearing> clearing(const Plan& plan);

struct StepAnswer {
  clearance::StepClearance clearance;
  std::vector<clearance::Limit> limits;  // broken ones

  bool stops() const { return clearance.hit() || !limits.empty(); }
};

// Every step with its certified smallest distance. Failure codes: those of StepChecker::make.
base::Result<std::vector<StepAnswer>> clear_steps(const Clearing& clearing,
                                                  const clearance::ClearanceOptions& options = {});

// What is not known of this bender, and what is left out, each once.
std::vector<std::string> not_checked(const std::vector<StepAnswer>& answers);

}  // namespace bight::planning

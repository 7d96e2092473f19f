// The sums behind SpringbackModel: everything normal given the scatter, the scatter on a grid.
// Used by springback_model.cpp only.
#pragma once

#include <vector>

#include "learning/springback_model.h"

namespace bight::learning {

// A reading that does not fit the others.
struct Misfit {
  std::size_t index = 0;        // into the readings given to posterior()
  double log_odds_ratio = 0.0;  // natural logarithm of the odds that it is an outlier
  base::Angle above;            // its finished angle above what the others say
};

struct Posterior {
  std::vector<SpringbackModel::State> states;  // weights sum to 1
  double drift_rad = 0.0;
  double drift_rad2 = 0.0;  // variance
  double heat_ratio = 0.0;  // mean of the heats' standard deviation
  Misfit worst;             // of three or more readings
};

// Bayesian line through the readings. With z the unknown departures from the first lines (shared
// part of a and of b; one of each kind and its play; one of each heat), every reading is
//   S_i = a0 + b0 x_i + phi_i . z + drift + noise,
// z ~ N(0, D). Given D, drift and noise levels, a and b of the target follow in closed form; those
// levels are summed over a grid with the evidence of the readings as weight. Departures of kinds
// and heats scale the line of their kind, which is re-estimated twice, so that one 90 in a new heat
// scales both constants.
Posterior posterior(const SpringbackTarget& target, const std::vector<BendReading>& readings,
                    const SpringbackBelief& belief);

}  // namespace bight::learning

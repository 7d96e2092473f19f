// Mean, spread and succession of readings.
#pragma once

#include <span>

#include "base/result.h"

namespace bight::learning {

struct Moments {
  double mean = 0.0;
  double sigma = 0.0;                // with n - 1; 0 for a single reading or equal ones
  double lag_one_correlation = 0.0;  // of each reading with the one before it; 0 for equal ones
  std::size_t count = 0;
};

// Two passes, compensated: 13 digits on the NIST StRD univariate sets at hand.
// Failure codes: fit.few (no reading), fit.number (not finite).
base::Result<Moments> moments(std::span<const double> readings);

}  // namespace bight::learning

// How well a run keeps a tolerance, always with the interval that so few pieces leave open.
#pragma once

#include <optional>
#include <span>

#include "base/result.h"

namespace bight::running {

struct Interval {
  double low = 0.0, high = 0.0;
};

// Limits a reading must keep, in the readings' unit; one may be absent.
struct Limits {
  std::optional<double> lower, upper;
};

struct Index {
  double value = 0.0;
  Interval interval;  // two-sided, of the share asked for
};

struct Capability {
  std::size_t count = 0;
  double mean = 0.0;
  double sigma_within = 0.0;   // from moving ranges: piece to piece
  double sigma_overall = 0.0;  // of all readings, drift included
  double freedom_within = 0.0;
  double share_ratio = 0.95;  // of the intervals
  // (upper − lower) / 6 sigma; only with both limits. Cp and Cpk by sigma_within, Pp and Ppk by
  // sigma_overall.
  std::optional<Index> cp, pp;
  // Distance from the mean to the nearer limit over 3 sigma.
  std::optional<Index> cpk, ppk;
  double beyond_ratio = 0.0;  // share of pieces beyond the limits if readings are normal
};

// Interval of Cp: Cp √(χ²/ν); of Cpk: Cpk ± z √(1/(9n) + Cpk²/(2ν)), approximate
// [NIST/SEMATECH e-Handbook 6.1.6, from memory; Bissell, Applied Statistics 39 (1990)
// 331-340, from memory], with ν = n − 1 for sigma_overall and pair_range_freedom for sigma_within.
// No index without spread. Failure codes: chart.few (under two readings), chart.number (not finite,
// limits the wrong way round or none).
base::Result<Capability> capability(std::span<const double> readings, const Limits& limits,
                                    double share_ratio = 0.95);

// Degrees of freedom of a sigma from n − 1 moving ranges of normal readings, by its exact variance:
// var|d| = 2(1 − 2/π) σ², cov of neighbours (4/π)(√3/2 + π/12) − 4/π. About 0.6 n.
double pair_range_freedom(std::size_t count);

}  // namespace bight::running

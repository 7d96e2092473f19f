#include "running/capability.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "base/quantiles.h"
#include "learning/moments.h"
#include "running/charts.h"

namespace bight::running {

using base::Failure;
using base::Result;

namespace {

// One sigma and what it gives.
struct Spread {
  double sigma, freedom;
};

Index width_index(const Limits& limits, const Spread& spread, double share_ratio) {
  const double tail = (1.0 - share_ratio) / 2.0;
  const double value = (*limits.upper - *limits.lower) / (6.0 * spread.sigma);
  const auto scaled = [&](double share) {
    return value * std::sqrt(base::chi_squared_quantile(share, spread.freedom) / spread.freedom);
  };
  return {value, {scaled(tail), scaled(1.0 - tail)}};
}

Index nearer_index(const Limits& limits, double mean, const Spread& spread, std::size_t count,
                   double share_ratio) {
  double room = std::numeric_limits<double>::infinity();
  if (limits.upper) room = std::min(room, *limits.upper - mean);
  if (limits.lower) room = std::min(room, mean - *limits.lower);
  const double value = room / (3.0 * spread.sigma);
  const double half =
      base::normal_quantile(0.5 + share_ratio / 2.0) *
      std::sqrt(1.0 / (9.0 * static_cast<double>(count)) + value * value / (2.0 * spread.freedom));
  return {value, {value - half, value + half}};
}

double share_beyond(const Limits& limits, double mean, double sigma) {
  double beyond = 0.0;
  if (limits.upper) beyond += base::normal_share_below((mean - *limits.upper) / sigma);
  if (limits.lower) beyond += base::normal_share_below((*limits.lower - mean) / sigma);
  return beyond;
}

}  // namespace

double pair_range_freedom(std::size_t count) {
  if (count < 2) return 0.0;
  const double pi = std::numbers::pi;
  const double ranges = static_cast<double>(count - 1);
  const double variance = 2.0 * (1.0 - 2.0 / pi);
  const double neighbours = 4.0 / pi * (std::sqrt(3.0) / 2.0 + pi / 12.0) - 4.0 / pi;
  const double of_mean =
      (ranges * variance + 2.0 * (ranges - 1.0) * neighbours) / (ranges * ranges);
  // A sigma with ν degrees of freedom has a relative variance of 1/(2ν).
  return 4.0 / pi / (2.0 * of_mean);
}

Result<Capability> capability(std::span<const double> readings, const Limits& limits,
                              double share_ratio) {
  BIGHT_TRY(const Baseline base, baseline_of(readings));
  if ((!limits.lower && !limits.upper) ||
      (limits.lower && limits.upper && !(*limits.lower < *limits.upper)) ||
      !(share_ratio > 0.0 && share_ratio < 1.0)) {
    return Failure{"chart.number", "", "no tolerance to hold the readings against",
                   "a lower and an upper limit, or one of them"};
  }
  BIGHT_TRY(const learning::Moments moments, learning::moments(readings));
  Capability result;
  result.count = readings.size();
  result.mean = moments.mean;
  result.sigma_within = base.sigma;
  result.sigma_overall = moments.sigma;
  result.freedom_within = pair_range_freedom(readings.size());
  result.share_ratio = share_ratio;
  const Spread within{base.sigma, result.freedom_within};
  const Spread overall{moments.sigma, static_cast<double>(readings.size() - 1)};
  const bool both = limits.lower && limits.upper;
  if (within.sigma > 0.0) {
    if (both) result.cp = width_index(limits, within, share_ratio);
    result.cpk = nearer_index(limits, moments.mean, within, readings.size(), share_ratio);
  }
  if (overall.sigma > 0.0) {
    if (both) result.pp = width_index(limits, overall, share_ratio);
    result.ppk = nearer_index(limits, moments.mean, overall, readings.size(), share_ratio);
    result.beyond_ratio = share_beyond(limits, moments.mean, overall.sigma);
  }
  return result;
}

}  // namespace bight::running

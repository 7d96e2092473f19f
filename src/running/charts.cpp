#include "running/charts.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

namespace bight::running {

using base::Failure;
using base::Result;

namespace {

// d2 and D4 of ranges of two, as tables of control chart constants print them.
constexpr double kPairRangePerSigma = 1.128;
constexpr double kPairRangeLimit = 3.267;

bool finite(std::span<const double> readings) {
  return std::all_of(readings.begin(), readings.end(), [](double x) { return std::isfinite(x); });
}

std::vector<double> moving_ranges(std::span<const double> readings) {
  std::vector<double> ranges;
  for (std::size_t i = 1; i < readings.size(); ++i) {
    ranges.push_back(std::abs(readings[i] - readings[i - 1]));
  }
  return ranges;
}

double mean(std::span<const double> values) {
  return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

Failure not_finite() { return {"chart.number", "", "a reading is no finite number", ""}; }

struct PatternText {
  const char *name, *words, *source;
};
constexpr const char* kZones = "Western Electric Co., Statistical Quality Control Handbook, 1956";
constexpr const char* kTrends = "NIST/SEMATECH e-Handbook 6.3.2";
constexpr const char* kNelson = "Nelson, J. Quality Technology 16 (1984) 237-239";
constexpr std::array<PatternText, kNumPatterns> kTexts = {{
    {"one-beyond-3", "a reading beyond the limits", kZones},
    {"two-of-three-beyond-2", "two of three readings far off on one side", kZones},
    {"four-of-five-beyond-1", "four of five readings off on one side", kZones},
    {"eight-on-one-side", "eight readings in a row on one side of the centre", kZones},
    {"six-rising", "six readings in a row going one way", kTrends},
    {"fourteen-alternate", "fourteen readings in a row up and down by turns", kTrends},
    {"fifteen-near", "fifteen readings in a row closer to the centre than chance has it", kNelson},
    {"eight-far", "eight readings in a row, none near the centre", kNelson},
}};

// Looks back from one reading at a time.
class Looker {
 public:
  Looker(std::span<const double> readings, const Baseline& base) {
    for (const double reading : readings) {
      const double off = reading - base.centre;
      // Without spread any reading off the centre is infinitely far.
      z_.push_back(base.sigma > 0.0 ? off / base.sigma : off == 0.0 ? 0.0 : off * HUGE_VAL);
    }
  }

  std::optional<int> side_of(std::size_t at, Pattern pattern) const {
    switch (pattern) {
      case Pattern::kBeyondThree:
        return most_beyond(at, 1, 1, 3.0);
      case Pattern::kTwoBeyondTwo:
        return most_beyond(at, 3, 2, 2.0);
      case Pattern::kFourBeyondOne:
        return most_beyond(at, 5, 4, 1.0);
      case Pattern::kEightOnOneSide:
        return most_beyond(at, 8, 8, 0.0);
      case Pattern::kSixRising:
        return rising(at, 6);
      case Pattern::kFourteenAlternate:
        return alternating(at, 14);
      case Pattern::kFifteenNear:
        return all_within(at, 15, true);
      case Pattern::kEightFar:
        return all_within(at, 8, false);
    }
    return std::nullopt;
  }

 private:
  // At least `least` of the last `window` beyond so many sigmas on the side of the newest, which is
  // one of them.
  std::optional<int> most_beyond(std::size_t at, std::size_t window, std::size_t least,
                                 double sigmas) const {
    const int side = z_[at] > sigmas ? 1 : z_[at] < -sigmas ? -1 : 0;
    if (side == 0) return std::nullopt;
    std::size_t count = 0;
    for (std::size_t i = at + 1 - std::min(at + 1, window); i <= at; ++i) {
      count += side * z_[i] > sigmas;
    }
    return count >= least ? std::optional(side) : std::nullopt;
  }
  std::optional<int> rising(std::size_t at, std::size_t window) const {
    if (at + 1 < window) return std::nullopt;
    const int side = z_[at] > z_[at - 1] ? 1 : -1;
    for (std::size_t i = at + 2 - window; i <= at; ++i) {
      if (!(side * z_[i] > side * z_[i - 1])) return std::nullopt;
    }
    return side;
  }
  std::optional<int> alternating(std::size_t at, std::size_t window) const {
    if (at + 1 < window) return std::nullopt;
    for (std::size_t i = at + 2 - window; i <= at; ++i) {
      const double step = z_[i] - z_[i - 1];
      if (step == 0.0) return std::nullopt;
      if (i > at + 2 - window && (step > 0) == (z_[i - 1] > z_[i - 2])) return std::nullopt;
    }
    return 0;
  }
  std::optional<int> all_within(std::size_t at, std::size_t window, bool within) const {
    if (at + 1 < window) return std::nullopt;
    bool above = false;
    bool below = false;
    for (std::size_t i = at + 1 - window; i <= at; ++i) {
      if ((std::abs(z_[i]) < 1.0) != within) return std::nullopt;
      (z_[i] > 0.0 ? above : below) = true;
    }
    return within || (above && below) ? std::optional(0) : std::nullopt;
  }

  std::vector<double> z_;
};

}  // namespace

Result<Baseline> baseline_of(std::span<const double> readings) {
  if (readings.size() < 2) {
    return Failure{"chart.few", "", fmt::format("{} reading(s) make no chart", readings.size()),
                   "measure at least two pieces; limits from fewer than about twenty are rough"};
  }
  if (!finite(readings)) return not_finite();
  return Baseline{mean(readings), mean(moving_ranges(readings)) / kPairRangePerSigma};
}

Result<IndividualsChart> individuals_chart(std::span<const double> readings,
                                           std::optional<Baseline> base) {
  if (!base) {
    BIGHT_TRY(base, baseline_of(readings));
  }
  if (!finite(readings)) return not_finite();
  IndividualsChart chart;
  chart.base = *base;
  chart.upper = base->centre + 3.0 * base->sigma;
  chart.lower = base->centre - 3.0 * base->sigma;
  chart.range_mean = base->sigma * kPairRangePerSigma;
  chart.range_upper = kPairRangeLimit * chart.range_mean;
  chart.readings.assign(readings.begin(), readings.end());
  chart.ranges = moving_ranges(readings);
  return chart;
}

Result<EwmaChart> ewma_chart(std::span<const double> readings, const Baseline& base,
                             const EwmaOptions& options) {
  const double weight = options.weight_ratio;
  if (!finite(readings)) return not_finite();
  if (!(weight > 0.0 && weight <= 1.0) || !(options.limit_sigmas > 0.0) || !(base.sigma >= 0.0)) {
    return Failure{"chart.number", "", "the weight or limits of a smoothed chart is out of range",
                   "a weight above 0 and up to 1, usually 0.2 to 0.3; limits above 0 sigmas"};
  }
  EwmaChart chart{base, options, {}, {}, {}};
  double smoothed = base.centre;
  double faded = 1.0;  // (1 − λ)^2t
  for (const double reading : readings) {
    smoothed = weight * reading + (1.0 - weight) * smoothed;
    faded *= (1.0 - weight) * (1.0 - weight);
    const double half = options.limit_sigmas * base.sigma *
                        std::sqrt(weight / (2.0 - weight) * (options.settled ? 1.0 : 1.0 - faded));
    chart.smoothed.push_back(smoothed);
    chart.upper.push_back(base.centre + half);
    chart.lower.push_back(base.centre - half);
  }
  return chart;
}

std::string_view pattern_name(Pattern pattern) {
  return kTexts[static_cast<std::size_t>(pattern)].name;
}
std::string_view pattern_words(Pattern pattern) {
  return kTexts[static_cast<std::size_t>(pattern)].words;
}
std::string_view pattern_source(Pattern pattern) {
  return kTexts[static_cast<std::size_t>(pattern)].source;
}

std::vector<Signal> signals_of(std::span<const double> readings, const Baseline& base,
                               std::span<const Pattern> patterns) {
  const Looker looker(readings, base);
  std::vector<Signal> signals;
  for (std::size_t at = 0; at < readings.size(); ++at) {
    for (const Pattern pattern : patterns) {
      if (const std::optional<int> side = looker.side_of(at, pattern)) {
        signals.push_back({at, pattern, *side});
      }
    }
  }
  return signals;
}

}  // namespace bight::running

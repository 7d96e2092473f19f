#include "running/watch.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <utility>

#include "base/quantiles.h"

namespace bight::running {

using base::Failure;
using base::Result;

namespace {

constexpr std::size_t kFirstPieces = 5;
// From this many readings on their own scatter counts, not the one expected.
constexpr std::size_t kOwnSigma = 8;
constexpr std::array<std::string_view, 4> kCalls = {"go-on", "read-again", "adjust", "stop"};

std::vector<double> offs_of(std::span<const WatchedReading> readings) {
  std::vector<double> offs;
  for (const WatchedReading& reading : readings) offs.push_back(reading.off_deg);
  return offs;
}

// First piece of the present heat and setting among those measured.
int first_of_setting(const Run& run, const std::vector<BendOutcome>& outcomes, int step) {
  int from = 1;
  for (std::size_t i = 1; i < outcomes.size(); ++i) {
    const bool other_heat = outcomes[i].heat != outcomes[i - 1].heat;
    const bool other_set = set_in_force(run, step, outcomes[i].piece) !=
                           set_in_force(run, step, outcomes[i - 1].piece);
    if (other_heat || other_set) from = outcomes[i].piece;
  }
  return from;
}

bool beyond_tolerance(double off_deg, const WatchOptions& options) {
  // A reading written with decimals must not fail by the last bit of a double.
  return options.tolerance_deg && std::abs(off_deg) > *options.tolerance_deg + 1e-9;
}

// Pieces after the last one read within tolerance, up to the last made.
std::pair<int, int> suspects_of(const StepWatch& watch, const WatchOptions& options) {
  int from = watch.from_piece;
  for (const WatchedReading& reading : watch.readings) {
    if (!beyond_tolerance(reading.off_deg, options)) from = reading.piece + 1;
  }
  return {from, std::max(options.made_up_to, watch.readings.back().piece)};
}

// Pieces until the worse end of the drift reaches the tolerance, less two sigmas for single pieces.
double pieces_left(const StepWatch& watch, const WatchOptions& options) {
  const double infinite = std::numeric_limits<double>::infinity();
  if (!options.tolerance_deg || !watch.trend) return infinite;
  const double level = watch.ewma->smoothed.back();
  const double margin = *options.tolerance_deg - 2.0 * watch.base.sigma;
  const double up = watch.trend->per_piece_interval_deg.high;
  const double down = -watch.trend->per_piece_interval_deg.low;
  double left = infinite;
  if (up > 0.0) left = std::min(left, (margin - level) / up);
  if (down > 0.0) left = std::min(left, (margin + level) / down);
  return std::max(0.0, left);
}

int gap_to_next(const StepWatch& watch, const WatchOptions& options) {
  const std::size_t count = watch.readings.size();
  if (count < kFirstPieces) return 1;
  if (watch.capability && watch.capability->ppk && watch.capability->ppk->value < 1.0) return 1;
  const int before = watch.readings[count - 1].piece - watch.readings[count - 2].piece;
  const double most = std::min(options.most_between, 2 * std::max(1, before));
  return static_cast<int>(
      std::clamp(std::floor(pieces_left(watch, options) / 2.0), 1.0, std::max(1.0, most)));
}

// Signals of the last reading, in words; whether any is more than a single far reading.
bool told_shift(const StepWatch& watch, Advice& advice) {
  bool shifted = false;
  const std::size_t last = watch.readings.size() - 1;
  for (const Signal& signal : watch.signals) {
    if (signal.at != last) continue;
    advice.reasons.emplace_back(pattern_words(signal.pattern));
    shifted = shifted || signal.pattern != Pattern::kBeyondThree;
  }
  if (watch.ewma && (watch.ewma->smoothed[last] > watch.ewma->upper[last] ||
                     watch.ewma->smoothed[last] < watch.ewma->lower[last])) {
    advice.reasons.emplace_back("the smoothed value lies beyond its limits");
    // With the first reading both charts say the same thing.
    shifted = shifted || last > 0;
  }
  return shifted;
}

// How far the run is off where the next piece is made. The smoothed value lags behind a drift:
// where there surely is one, its line is carried on instead.
double level_next_deg(const StepWatch& watch) {
  const WatchedReading& last = watch.readings.back();
  if (watch.trend && (watch.trend->per_piece_interval_deg.low > 0.0 ||
                      watch.trend->per_piece_interval_deg.high < 0.0)) {
    return watch.trend->level_deg + watch.trend->per_piece_deg;
  }
  return watch.ewma ? watch.ewma->smoothed.back() : last.off_deg;
}

void smooth_springback(const std::vector<BendOutcome>& outcomes, StepWatch& watch,
                       const WatchOptions& options) {
  std::vector<double> springbacks;
  for (const BendOutcome& outcome : outcomes) {
    const auto springback = outcome.springback();
    if (outcome.piece >= watch.from_piece && springback) springbacks.push_back(springback->deg());
  }
  if (springbacks.size() < 2) return;
  const Result<Baseline> base = baseline_of(springbacks);
  // The mean of the first readings starts it, so that it does not climb from nowhere.
  const Result<EwmaChart> chart =
      ewma_chart(springbacks, {springbacks.front(), base.ok() ? base->sigma : 0.0}, options.ewma);
  if (!base.ok() || !chart.ok()) return;
  const double weight = options.ewma.weight_ratio;
  watch.springback_deg =
      Baseline{chart->smoothed.back(), base->sigma * std::sqrt(weight / (2.0 - weight))};
}

}  // namespace

std::string_view call_name(Call call) { return kCalls[static_cast<std::size_t>(call)]; }

std::optional<Trend> trend_of(std::span<const WatchedReading> readings, double share_ratio) {
  const double count = static_cast<double>(readings.size());
  if (readings.size() < 3) return std::nullopt;
  double piece_mean = 0.0;
  double off_mean = 0.0;
  for (const WatchedReading& reading : readings) {
    piece_mean += reading.piece / count;
    off_mean += reading.off_deg / count;
  }
  double xx = 0.0;
  double xy = 0.0;
  for (const WatchedReading& reading : readings) {
    const double x = reading.piece - piece_mean;
    xx += x * x;
    xy += x * (reading.off_deg - off_mean);
  }
  if (!(xx > 0.0)) return std::nullopt;
  const double slope = xy / xx;
  double rest = 0.0;
  for (const WatchedReading& reading : readings) {
    const double off = reading.off_deg - off_mean - slope * (reading.piece - piece_mean);
    rest += off * off;
  }
  const double half = base::student_quantile(0.5 + share_ratio / 2.0, count - 2.0) *
                      std::sqrt(rest / (count - 2.0) / xx);
  return Trend{slope,
               {slope - half, slope + half},
               off_mean + slope * (readings.back().piece - piece_mean),
               readings.size()};
}

Advice advise(const StepWatch& watch, const WatchOptions& options) {
  Advice advice;
  const int made = std::max(options.made_up_to, 0);
  if (watch.readings.empty()) {
    advice.measure_piece = std::max(1, made);
    advice.reasons.emplace_back("nothing is measured yet");
    return advice;
  }
  const WatchedReading& last = watch.readings.back();
  const bool shifted = told_shift(watch, advice);
  if (beyond_tolerance(last.off_deg, options)) {
    advice.call = Call::kStop;
    advice.reasons.insert(advice.reasons.begin(),
                          fmt::format("piece {} is {:+.2f}° off, tolerance ±{:.2f}°", last.piece,
                                      last.off_deg, *options.tolerance_deg));
    advice.suspects = suspects_of(watch, options);
    // What the last piece shows: the smoothed value lags behind a jump.
    advice.shift_set_deg = -last.off_deg / (1.0 - options.proportional_ratio);
    advice.measure_piece = std::max(made, last.piece) + 1;
    return advice;
  }
  if (shifted) {
    advice.call = Call::kAdjust;
    advice.shift_set_deg = -level_next_deg(watch) / (1.0 - options.proportional_ratio);
    advice.measure_piece = last.piece + 1;
    return advice;
  }
  if (!advice.reasons.empty()) {
    advice.call = Call::kReadAgain;
    advice.measure_piece = last.piece;
    return advice;
  }
  advice.measure_piece = last.piece + gap_to_next(watch, options);
  return advice;
}

Result<StepWatch> watch_step(const Run& run, const RunState& state, int step,
                             WatchOptions options) {
  if (step < 1 || step > static_cast<int>(run.steps.size())) {
    return Failure{"run.step", "step", fmt::format("there is no step {}", step),
                   fmt::format("a number from 1 to {}, in the order of working", run.steps.size())};
  }
  if (!options.tolerance_deg) {
    const auto& tolerance = run.steps[static_cast<std::size_t>(step - 1)].tolerance;
    if (tolerance) options.tolerance_deg = tolerance->deg();
  }
  if (!state.pieces.empty()) options.made_up_to = state.pieces.rbegin()->first;
  const std::vector<BendOutcome> outcomes = outcomes_of(run, state, step);
  StepWatch watch;
  watch.step = step;
  watch.from_piece = first_of_setting(run, outcomes, step);
  watch.heat = outcomes.empty() ? run.heat : outcomes.back().heat;
  for (const BendOutcome& outcome : outcomes) {
    if (outcome.piece < watch.from_piece) continue;
    watch.readings.push_back({outcome.piece, outcome.off().deg()});
  }
  const std::vector<double> offs = offs_of(watch.readings);
  if (offs.size() >= 2) {
    BIGHT_TRY(const Baseline own, baseline_of(offs));
    watch.base.sigma = own.sigma;
  }
  if (options.expected_sigma_deg && offs.size() < kOwnSigma) {
    watch.base.sigma = *options.expected_sigma_deg;
  }
  // One or two readings say nothing of their own scatter.
  if (offs.size() >= 3 || (options.expected_sigma_deg && !offs.empty())) {
    BIGHT_TRY(watch.individuals, individuals_chart(offs, watch.base));
    BIGHT_TRY(watch.ewma, ewma_chart(offs, watch.base, options.ewma));
    watch.signals = signals_of(offs, watch.base);
  }
  watch.trend = trend_of(watch.readings);
  if (options.tolerance_deg && offs.size() >= 2) {
    BIGHT_TRY(watch.capability,
              capability(offs, {-*options.tolerance_deg, *options.tolerance_deg}));
  }
  smooth_springback(outcomes, watch, options);
  watch.advice = advise(watch, options);
  return watch;
}

}  // namespace bight::running

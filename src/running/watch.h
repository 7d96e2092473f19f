// A run watched piece by piece: is it still where it was, what to measure next, when to stop.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/result.h"
#include "running/capability.h"
#include "running/charts.h"
#include "running/run_state.h"

namespace bight::running {

// How far a piece was off its own target, in degrees.
struct WatchedReading {
  int piece = 0;
  double off_deg = 0.0;
};

// A straight line through the readings.
struct Trend {
  double per_piece_deg = 0.0;
  Interval per_piece_interval_deg;  // of the share asked for
  double level_deg = 0.0;           // at the last piece
  std::size_t count = 0;
};

// By least squares; intervals by Student's t. Nothing with fewer than three different pieces.
std::optional<Trend> trend_of(std::span<const WatchedReading> readings, double share_ratio = 0.9);

enum class Call {
  kGoOn,
  kReadAgain,  // one reading stands alone: read the same piece again before believing it
  kAdjust,     // the run has moved, inside the tolerance: shift the set angle
  kStop,       // beyond tolerance: sort out what was made since the last good reading
};
std::string_view call_name(Call call);  // "go-on", "read-again", "adjust", "stop"

struct WatchOptions {
  std::optional<double> tolerance_deg;       // each way
  std::optional<double> expected_sigma_deg;  // of single readings, until eight have been read
  double proportional_ratio = 0.0;  // springback's b: a shift of the set angle by 1/(1 − b)
  EwmaOptions ewma;
  int most_between = 20;  // pieces between two measured ones, however quiet the run
  int made_up_to = 0;     // last piece begun
};

struct Advice {
  Call call = Call::kGoOn;
  std::vector<std::string> reasons;
  int measure_piece = 1;
  // What to add to the set angle so that the run comes back to its target.
  std::optional<double> shift_set_deg;
  // Pieces made since the last reading within tolerance, to be measured one by one.
  std::optional<std::pair<int, int>> suspects;
};

// One step of the run, since its set angle or heat last changed.
struct StepWatch {
  int step = 0;
  int from_piece = 1;  // where the present setting and heat begin
  std::string heat;
  std::vector<WatchedReading> readings;
  Baseline base;  // centre 0: on target
  std::optional<IndividualsChart> individuals;
  std::optional<EwmaChart> ewma;
  std::vector<Signal> signals;  // on single readings
  std::optional<Trend> trend;
  std::optional<Capability> capability;
  std::optional<Baseline> springback_deg;  // smoothed as the readings are; sigma of that value
  Advice advice;
};

// The advice alone, from charts already made.
// - beyond the tolerance: stop; - a drift pattern or the smoothed value beyond its limits: adjust;
// - one reading beyond its limits: read again; - else go on.
// The next piece to measure: each of the first five; then before the drift, at the unfavourable end
// of its 90 % interval, could use up half the room left to the tolerance, at most twice as far as
// last time; every one while the index of capability lies below 1 (own rule, no source).
Advice advise(const StepWatch& watch, const WatchOptions& options);

// Failure codes: run.step, chart.number.
base::Result<StepWatch> watch_step(const Run& run, const RunState& state, int step,
                                   WatchOptions options);

}  // namespace bight::running

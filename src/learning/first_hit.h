// Getting a bend right in few hits without spoiling it: closing a bend further is easy, opening it
// is not (trade practice; docs/theory/learning.md).
#pragma once

#include <optional>
#include <vector>

#include "learning/springback_model.h"

namespace bight::learning {

struct HitOptions {
  // A bend is good within this of its angle, and spoiled beyond it.
  base::Angle tolerance = base::Angle::degrees(0.5);
  // The first set angle, and every one after it, takes at most this chance of spoiling the bend.
  double overbend_chance_ratio = 0.05;
};

struct Hit {
  base::Angle set;               // key this in
  base::Angle finished;          // where the bend will most likely finish
  double overbend_chance = 0.0;  // that it finishes above target + tolerance
  bool enough = false;           // the bend is there, or past it: do not hit again
};

// The first hit on a bend: at the target where the chance of overbending allows it, else short of
// it. @pre 0 < overbend_chance_ratio < 1.
Hit first_hit(const SpringbackModel& model, base::Angle target, const HitOptions& options = {});

// The next hit on the same bend, from what every hit so far was set to and read after release: the
// readings tell this bend's own springback, to the gauge's error. `enough` when the last reading is
// not below target - tolerance, or the next set angle would not be above the last.
Hit next_hit(const SpringbackModel& model, const std::vector<AngleTrial>& hits, base::Angle target,
             const HitOptions& options = {});

// What to expect of a bend worked like this.
struct HitForecast {
  double expected_hits = 0.0;
  double scrap_chance = 0.0;  // overbent
  double good_chance = 0.0;   // within the tolerance after at most kMostHits hits
  // The same for someone who keys in the most likely set angle at once.
  double plain_hits = 0.0;
  double plain_scrap_chance = 0.0;
};

inline constexpr int kMostHits = 3;

// Simulates kForecastBends bends of the model with evenly spread points: the same every time,
// chances to about 0.005.
HitForecast forecast_hits(const SpringbackModel& model, base::Angle target,
                          const HitOptions& options = {});

inline constexpr int kForecastBends = 1024;

}  // namespace bight::learning

#include "learning/best_trial.h"

#include <algorithm>
#include <cmath>

#include "mechanics/sobol.h"

namespace bight::learning {

using base::Angle;

namespace {

using State = SpringbackModel::State;

constexpr Angle kLeast = Angle::degrees(15);
constexpr Angle kStep = Angle::degrees(5);
// A little beyond the largest angle of the job the line still says the same.
constexpr double kBeyond_ratio = 1.1;

// Variance of the next reading at `set`, after a trial at `trial`; negative trial: none.
double variance_rad2(const SpringbackModel& model, double set_rad, double trial_rad) {
  double mean_rad = 0.0;
  double square_rad2 = 0.0;
  for (const State& s : model.states()) {
    const double at_rad = s.mean_rad(set_rad);
    double var_rad2 = s.reading_rad2(set_rad);
    if (trial_rad >= 0.0) {
      const double together =
          s.var_a_rad2 + s.cov_ab_rad * (set_rad + trial_rad) + s.var_b * set_rad * trial_rad;
      var_rad2 -= together * together / s.reading_rad2(trial_rad);
    }
    mean_rad += s.weight * at_rad;
    square_rad2 += s.weight * (var_rad2 + at_rad * at_rad);
  }
  return square_rad2 - mean_rad * mean_rad;
}

struct Worst {
  double var_rad2 = 0.0;
  Angle at;
};

Worst worst(const SpringbackModel& model, const std::vector<Angle>& wanted, double trial_rad) {
  Worst out{-1.0, Angle()};
  for (const Angle angle : wanted) {
    const double var_rad2 = variance_rad2(model, model.set_for(angle).rad(), trial_rad);
    if (var_rad2 > out.var_rad2) out = {var_rad2, angle};
  }
  return out;
}

}  // namespace

std::optional<BestTrial> best_trial(const SpringbackModel& model, const std::vector<Angle>& wanted,
                                    Angle highest) {
  if (wanted.empty()) return std::nullopt;
  const double z = mechanics::normal_quantile(0.5 + kBandConfidence_ratio / 2.0);
  const Worst now = worst(model, wanted, -1.0);
  const Angle largest = model.set_for(*std::max_element(wanted.begin(), wanted.end()));
  const Angle top = std::min(highest, std::max(kLeast, largest * kBeyond_ratio));
  BestTrial out{kLeast, now.at, Angle::radians(z * std::sqrt(now.var_rad2)), Angle()};
  double best_rad2 = 1e300;
  // Large to small: of two that are equally good, the larger reads easier.
  for (int i = static_cast<int>((top - kLeast) / kStep + 1e-9); i >= 0; --i) {
    const Angle trial = kLeast + kStep * i;
    const double var_rad2 = worst(model, wanted, trial.rad()).var_rad2;
    if (var_rad2 < best_rad2 * (1.0 - 1e-9)) {
      best_rad2 = var_rad2;
      out.set = trial;
    }
  }
  out.half_after = Angle::radians(z * std::sqrt(std::max(0.0, best_rad2)));
  return out;
}

}  // namespace bight::learning

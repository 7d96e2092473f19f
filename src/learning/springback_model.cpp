#include "learning/springback_model.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <set>

#include "learning/springback_states.h"

namespace bight::learning {

using base::Angle;
using base::Failure;

namespace {

// A gauge may read a little more than was set; this much more is a mistake.
constexpr Angle kAboveSet = Angle::degrees(0.5);
// Odds from which a reading is set aside as an outlier, ten to one.
const double kOutlierLogOdds = std::log(10.0);

double normal_below(double value, double mean, double variance) {
  if (variance <= 0.0) return value >= mean ? 1.0 : 0.0;
  return 0.5 * std::erfc((mean - value) / std::sqrt(2.0 * variance));
}

std::optional<Failure> nonsense(const BendReading& reading) {
  const Angle set = reading.angles.set;
  const Angle finished = reading.angles.finished;
  const bool finite = std::isfinite(set.rad()) && std::isfinite(finished.rad());
  if (finite && set.rad() > 0.0 && finished.rad() > 0.0 && finished - set <= kAboveSet) {
    return std::nullopt;
  }
  return Failure{"trials.number", reading.name,
                 fmt::format("set {:.4g}°, finished {:.4g}°: a bend opens when released, and stays "
                             "a bend",
                             set.deg(), finished.deg()),
                 "give the set angle and the smaller angle read after release"};
}

Failure outlier(const BendReading& reading, Angle above) {
  return Failure{"trials.outlier", reading.name,
                 fmt::format("set {:.1f}°, finished {:.1f}°: {:.1f}° {} than the other bends say",
                             reading.angles.set.deg(), reading.angles.finished.deg(),
                             std::abs(above.deg()), above.rad() > 0.0 ? "more" : "less"),
                 "measure that piece again; if it is right, bend one more to compare"};
}

// Which readings count most: this kind and heat, then this kind, then the rest; new before old.
std::vector<std::size_t> most_related(const SpringbackTarget& target,
                                      const std::vector<BendReading>& readings,
                                      std::vector<std::size_t> counting) {
  if (counting.size() <= kMostReadings) return counting;
  const auto distance = [&](std::size_t i) {
    const bool kind = readings[i].kind == target.kind;
    return kind && readings[i].heat == target.heat ? 0 : kind ? 1 : 2;
  };
  std::stable_sort(counting.begin(), counting.end(), [&](std::size_t a, std::size_t b) {
    return distance(a) != distance(b) ? distance(a) < distance(b) : a > b;
  });
  counting.resize(kMostReadings);
  std::sort(counting.begin(), counting.end());
  return counting;
}

}  // namespace

struct ModelBuilder {
  const SpringbackTarget& target;
  const std::vector<BendReading>& readings;
  const SpringbackBelief& belief;

  SpringbackModel build() const {
    SpringbackModel model;
    std::vector<std::size_t> counting;
    for (std::size_t i = 0; i < readings.size(); ++i) {
      if (const std::optional<Failure> why = nonsense(readings[i])) {
        model.left_out_.push_back({i, *why});
      } else {
        counting.push_back(i);
      }
    }
    counting = most_related(target, readings, std::move(counting));
    std::size_t may_leave_out = counting.size() / 3;
    while (true) {
      std::vector<BendReading> chosen;
      for (const std::size_t i : counting) chosen.push_back(readings[i]);
      const Posterior found = posterior(target, chosen, belief);
      if (may_leave_out > 0 && found.worst.log_odds_ratio > kOutlierLogOdds) {
        const std::size_t index = counting[found.worst.index];
        model.left_out_.push_back({index, outlier(readings[index], found.worst.above)});
        counting.erase(counting.begin() + static_cast<std::ptrdiff_t>(found.worst.index));
        --may_leave_out;
        continue;
      }
      describe(model, found, chosen);
      return model;
    }
  }

  void describe(SpringbackModel& model, const Posterior& found,
                const std::vector<BendReading>& chosen) const {
    model.states_ = found.states;
    double a_rad = 0.0;
    double b = 0.0;
    double noise_rad = 0.0;
    for (const SpringbackModel::State& state : found.states) {
      a_rad += state.weight * state.a_rad;
      b += state.weight * state.b;
      noise_rad += state.weight * std::sqrt(state.bend_rad2 + state.gauge_rad2);
    }
    model.constant_ = Angle::radians(a_rad);
    // Beyond this the readings would have been nonsense.
    model.proportional_ratio_ = std::min(b, 0.95);
    model.noise_sigma_ = Angle::radians(noise_rad);
    model.heat_ratio_ = found.heat_ratio;
    model.drift_ = Angle::radians(found.drift_rad);
    model.drift_sigma_ = Angle::radians(std::sqrt(found.drift_rad2));
    std::set<std::string> heats;
    for (const BendReading& reading : chosen) {
      if (reading.kind != target.kind) {
        ++model.num_others_;
        continue;
      }
      ++model.num_kind_;
      heats.insert(reading.heat);
      if (reading.heat == target.heat) ++model.num_own_;
    }
    model.num_heats_ = heats.size();
    model.heat_named_ = !target.heat.empty();
  }
};

SpringbackModel SpringbackModel::make(const SpringbackTarget& target,
                                      const std::vector<BendReading>& readings,
                                      const SpringbackBelief& belief) {
  return ModelBuilder{target, readings, belief}.build();
}

std::string SpringbackModel::basis() const {
  const auto count = [](std::size_t n, const char* what) {
    return fmt::format("{} {}{}", n, what, n == 1 ? "" : "s");
  };
  std::string words;
  if (num_kind_ > 0 && num_kind_ == num_own_) {
    words = count(num_own_, "trial") + (heat_named_ ? " on this heat" : ", no heat named");
  } else if (num_kind_ > 0) {
    words =
        fmt::format("{} on {}, {} on this one", count(num_kind_, "bend"), count(num_heats_, "heat"),
                    num_own_ == 0 ? std::string("none") : std::to_string(num_own_));
  }
  if (num_others_ > 0) {
    words += fmt::format("{}{} of other tubes or dies", words.empty() ? "" : ", and ",
                         count(num_others_, "bend"));
  }
  return words.empty() ? "prior only" : words;
}

Angle SpringbackModel::set_for(Angle finished) const {
  return set_angle(finished, constant_, proportional_ratio_);
}

Angle SpringbackModel::finished_at(Angle set) const {
  return set - constant_ - set * proportional_ratio_;
}

double SpringbackModel::loss_quantile_rad(double set_rad, double share_ratio) const {
  double low_rad = 1e300;
  double high_rad = -1e300;
  double at_rad = 0.0;
  for (const State& state : states_) {
    const double reach_rad = 10.0 * std::sqrt(state.reading_rad2(set_rad));
    low_rad = std::min(low_rad, state.mean_rad(set_rad) - reach_rad);
    high_rad = std::max(high_rad, state.mean_rad(set_rad) + reach_rad);
    at_rad += state.weight * state.mean_rad(set_rad);
  }
  // Newton's steps, bisection where one would leave the bracket.
  for (int i = 0; i < 60; ++i) {
    double below = 0.0;
    double density = 0.0;
    for (const State& state : states_) {
      const double mean_rad = state.mean_rad(set_rad);
      const double var_rad2 = state.reading_rad2(set_rad);
      const double off_rad = at_rad - mean_rad;
      below += state.weight * normal_below(at_rad, mean_rad, var_rad2);
      density += state.weight * std::exp(-0.5 * off_rad * off_rad / var_rad2) /
                 std::sqrt(2.0 * std::numbers::pi * var_rad2);
    }
    (below < share_ratio ? low_rad : high_rad) = at_rad;
    double next_rad = at_rad - (below - share_ratio) / std::max(density, 1e-300);
    if (!(next_rad > low_rad && next_rad < high_rad)) next_rad = (low_rad + high_rad) / 2.0;
    const double step_rad = std::abs(next_rad - at_rad);
    at_rad = next_rad;
    if (step_rad < 1e-10) break;
  }
  return at_rad;
}

AngleInterval SpringbackModel::finished_band(Angle set, double confidence) const {
  const double tail = (1.0 - confidence) / 2.0;
  return {set - Angle::radians(loss_quantile_rad(set.rad(), 1.0 - tail)), finished_at(set),
          set - Angle::radians(loss_quantile_rad(set.rad(), tail))};
}

AngleInterval SpringbackModel::set_band(Angle finished, double confidence) const {
  const Angle likely = set_for(finished);
  const AngleInterval out = finished_band(likely, confidence);
  // A bend that would finish lower has to be set higher, by a little more than it misses.
  const double gain = 1.0 - proportional_ratio_;
  return {likely - (out.high - finished) / gain, likely, likely + (finished - out.low) / gain};
}

double SpringbackModel::chance_above(Angle set, Angle limit) const {
  double chance = 0.0;
  for (const State& state : states_) {
    chance += state.weight * normal_below((set - limit).rad(), state.mean_rad(set.rad()),
                                          state.var_rad2(set.rad()) + state.bend_rad2);
  }
  return chance;
}

}  // namespace bight::learning

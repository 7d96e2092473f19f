#include "learning/first_hit.h"

#include <algorithm>
#include <cmath>

#include "mechanics/sobol.h"

namespace bight::learning {

using base::Angle;

namespace {

using State = SpringbackModel::State;

// One bend's own line: its departure from the common line belongs to a.
std::vector<State> of_one_bend(const SpringbackModel& model) {
  std::vector<State> states = model.states();
  for (State& state : states) {
    state.var_a_rad2 += state.bend_rad2;
    state.bend_rad2 = 0.0;
  }
  return states;
}

// What one reading of this bend teaches.
void learn(std::vector<State>& states, const AngleTrial& hit) {
  const double x = hit.set.rad();
  const double lost_rad = x - hit.finished.rad();
  double sum = 0.0;
  for (State& s : states) {
    const double to_a = s.var_a_rad2 + x * s.cov_ab_rad;
    const double to_b = s.cov_ab_rad + x * s.var_b;
    const double var_rad2 = s.var_rad2(x) + s.gauge_rad2;
    const double off_rad = lost_rad - s.mean_rad(x);
    s.weight *= std::exp(-0.5 * off_rad * off_rad / var_rad2) / std::sqrt(var_rad2);
    sum += s.weight;
    s.a_rad += to_a * off_rad / var_rad2;
    s.b += to_b * off_rad / var_rad2;
    s.var_a_rad2 -= to_a * to_a / var_rad2;
    s.cov_ab_rad -= to_a * to_b / var_rad2;
    s.var_b -= to_b * to_b / var_rad2;
  }
  // A reading that no state can explain leaves them as likely as they were.
  for (State& s : states) {
    s.weight = sum > 0.0 ? s.weight / sum : 1.0 / static_cast<double>(states.size());
  }
}

// The mixture as one normal line.
State together(const std::vector<State>& states) {
  State out;
  out.weight = 1.0;
  for (const State& s : states) {
    out.a_rad += s.weight * s.a_rad;
    out.b += s.weight * s.b;
  }
  for (const State& s : states) {
    const double off_a = s.a_rad - out.a_rad;
    const double off_b = s.b - out.b;
    out.var_a_rad2 += s.weight * (s.var_a_rad2 + off_a * off_a);
    out.cov_ab_rad += s.weight * (s.cov_ab_rad + off_a * off_b);
    out.var_b += s.weight * (s.var_b + off_b * off_b);
    out.gauge_rad2 += s.weight * s.gauge_rad2;
  }
  return out;
}

double chance_above(const std::vector<State>& states, double set_rad, double limit_rad) {
  double chance = 0.0;
  for (const State& s : states) {
    const double off_rad = limit_rad - (set_rad - s.mean_rad(set_rad));
    chance += s.weight * 0.5 * std::erfc(off_rad / std::sqrt(2.0 * s.var_rad2(set_rad) + 1e-30));
  }
  return chance;
}

Hit hit_of(const std::vector<State>& states, Angle target, const HitOptions& options) {
  const State line = together(states);
  const double gain = 1.0 - std::min(line.b, 0.95);
  const double limit_rad = (target + options.tolerance).rad();
  double set_rad = (target.rad() + line.a_rad) / gain;
  if (chance_above(states, set_rad, limit_rad) > options.overbend_chance_ratio) {
    double high_rad = set_rad;
    double low_rad = set_rad - 12.0 * std::sqrt(line.var_rad2(set_rad)) / gain;
    for (int i = 0; i < 50; ++i) {
      set_rad = (low_rad + high_rad) / 2.0;
      const bool over = chance_above(states, set_rad, limit_rad) > options.overbend_chance_ratio;
      (over ? high_rad : low_rad) = set_rad;
    }
    set_rad = low_rad;
  }
  Hit hit;
  hit.set = Angle::radians(set_rad);
  hit.finished = Angle::radians(set_rad - line.mean_rad(set_rad));
  hit.overbend_chance = chance_above(states, set_rad, limit_rad);
  return hit;
}

// The same for a single normal line, without the search for the forecast's many bends:
// finished + z sd = limit at most.
double aim_rad(const State& line, double target_rad, double tolerance_rad, double z) {
  const double gain = 1.0 - std::min(line.b, 0.95);
  double set_rad = (target_rad + line.a_rad) / gain;
  for (int i = 0; i < 4; ++i) {
    const double sd_rad = std::sqrt(std::max(0.0, line.var_rad2(set_rad)));
    const double aim = std::min(target_rad, target_rad + tolerance_rad - z * sd_rad);
    set_rad = (aim + line.a_rad) / gain;
  }
  return set_rad;
}

// One bend that is what it is, and the gauge's errors in reading it.
struct MadeBend {
  double a_rad = 0.0;
  double b = 0.0;
  std::array<double, kMostHits> gauge_rad{};
};

struct Outcome {
  int hits = 0;
  double finished_rad = 0.0;
};

Outcome work(const MadeBend& bend, double first_set_rad, const std::vector<State>& states,
             Angle target, const HitOptions& options, double z) {
  Outcome out;
  std::vector<State> known = states;
  double set_rad = first_set_rad;
  for (int i = 0; i < kMostHits; ++i) {
    ++out.hits;
    out.finished_rad = set_rad - bend.a_rad - bend.b * set_rad;
    const double read_rad = out.finished_rad + bend.gauge_rad[static_cast<std::size_t>(i)];
    if (read_rad >= (target - options.tolerance).rad() || i + 1 == kMostHits) break;
    learn(known, {Angle::radians(set_rad), Angle::radians(read_rad)});
    const double next_rad = aim_rad(together(known), target.rad(), options.tolerance.rad(), z);
    if (next_rad <= set_rad) break;
    set_rad = next_rad;
  }
  return out;
}

// The bend of one evenly spread point: a state by its weight, then its line, then the gauge.
MadeBend bend_of(const std::array<double, mechanics::kSobolDimensions>& point,
                 const std::vector<State>& states) {
  const auto normal = [](double share) {
    return mechanics::normal_quantile(std::clamp(share, 1e-6, 1.0 - 1e-6));
  };
  std::size_t pick = 0;
  double left = point[0];
  while (pick + 1 < states.size() && left >= states[pick].weight) left -= states[pick++].weight;
  const State& s = states[pick];
  MadeBend bend;
  const double sd_a = std::sqrt(std::max(0.0, s.var_a_rad2));
  const double slope = sd_a > 0.0 ? s.cov_ab_rad / sd_a : 0.0;
  const double rest = std::sqrt(std::max(0.0, s.var_b - slope * slope));
  const double along = normal(point[1]);
  bend.a_rad = s.a_rad + sd_a * along;
  bend.b = std::min(0.95, s.b + slope * along + rest * normal(point[2]));
  for (std::size_t i = 0; i < bend.gauge_rad.size(); ++i) {
    bend.gauge_rad[i] = std::sqrt(s.gauge_rad2) * normal(point[3 + i]);
  }
  return bend;
}

}  // namespace

Hit first_hit(const SpringbackModel& model, Angle target, const HitOptions& options) {
  return hit_of(of_one_bend(model), target, options);
}

Hit next_hit(const SpringbackModel& model, const std::vector<AngleTrial>& hits, Angle target,
             const HitOptions& options) {
  std::vector<State> states = of_one_bend(model);
  for (const AngleTrial& hit : hits) learn(states, hit);
  Hit next = hit_of(states, target, options);
  if (hits.empty()) return next;
  next.enough = hits.back().finished >= target - options.tolerance || next.set <= hits.back().set;
  if (!next.enough) return next;
  // Where it stands now, not where a hit would take it.
  const State line = together(states);
  const double set_rad = hits.back().set.rad();
  next.set = hits.back().set;
  next.finished = Angle::radians(set_rad - line.mean_rad(set_rad));
  next.overbend_chance = chance_above(states, set_rad, (target + options.tolerance).rad());
  return next;
}

HitForecast forecast_hits(const SpringbackModel& model, Angle target, const HitOptions& options) {
  const std::vector<State> states = of_one_bend(model);
  const double careful_rad = hit_of(states, target, options).set.rad();
  const double plain_rad = model.set_for(target).rad();
  const double z = mechanics::normal_quantile(1.0 - options.overbend_chance_ratio);
  const double limit_rad = (target + options.tolerance).rad();
  mechanics::Sobol sobol;
  HitForecast out;
  for (int i = 0; i < kForecastBends; ++i) {
    const MadeBend bend = bend_of(sobol.next(), states);
    const Outcome careful = work(bend, careful_rad, states, target, options, z);
    const Outcome plain = work(bend, plain_rad, states, target, options, z);
    out.expected_hits += careful.hits;
    out.plain_hits += plain.hits;
    out.scrap_chance += careful.finished_rad > limit_rad ? 1.0 : 0.0;
    out.plain_scrap_chance += plain.finished_rad > limit_rad ? 1.0 : 0.0;
    const double off_rad = std::abs(careful.finished_rad - target.rad());
    out.good_chance += off_rad <= options.tolerance.rad() ? 1.0 : 0.0;
  }
  for (double* sum : {&out.expected_hits, &out.plain_hits, &out.scrap_chance,
                      &out.plain_scrap_chance, &out.good_chance}) {
    *sum /= kForecastBends;
  }
  return out;
}

}  // namespace bight::learning

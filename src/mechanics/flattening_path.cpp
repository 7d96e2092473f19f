#include "mechanics/flattening_path.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace bight::mechanics {

namespace {

constexpr double kStep_ratio = 1.08;
constexpr double kCollapse_ratio = 2e-4;  // the greatest moment is found to this curvature

// Slope in the middle of three points on a parabola through them.
double middle_slope(double h0, double d0, double h1, double d1) {
  return (d0 * h1 + d1 * h0) / (h0 + h1);
}

double cubic(double a, double slope_a, double b, double slope_b, double step, double u) {
  const double v = 1.0 - u;
  return v * v * ((1.0 + 2.0 * u) * a + u * step * slope_a) +
         u * u * ((1.0 + 2.0 * v) * b - v * step * slope_b);
}

}  // namespace

FlatteningPath::FlatteningPath(const FlatteningTube& tube, const stock::FlowCurve& curve,
                               FlatteningMode mode)
    : collapse_per_mm_(std::numeric_limits<double>::infinity()) {
  FlatteningSection section(tube, curve, mode);
  const double tightest_per_mm = 2 / tube.od_mm;
  const double radius_mm = tube.mean_radius_mm();
  // Elastic up to here: amplitude as the square of the curvature, moment in proportion.
  double curvature = std::min(0.25 * std::min(curve.yield_mpa() / curve.youngs_mpa() / radius_mm,
                                              tube.wall_mm / (radius_mm * radius_mm)),
                              0.5 * tightest_per_mm);
  for (double before = curvature;; before = curvature, curvature *= kStep_ratio) {
    const bool last = curvature >= tightest_per_mm;
    if (last) curvature = tightest_per_mm;
    std::optional<double> guess;
    if (knots_.size() > 1) {
      const Knot& a = knots_[knots_.size() - 2];
      const Knot& b = knots_.back();
      guess = std::exp(b.log_amplitude + (b.log_amplitude - a.log_amplitude) *
                                             (std::log(curvature) - b.log_curvature) /
                                             (b.log_curvature - a.log_curvature));
    }
    const auto state = flattening_state(section, curvature, guess);
    if (!knots_.empty() && (!state || state->moment_nmm < knots_.back().moment_nmm)) {
      // The greatest moment lies between the knot before the last and here.
      double low = before / kStep_ratio;
      if (knots_.size() > 1) {
        low = std::exp(knots_[knots_.size() - 2].log_curvature);
        knots_.pop_back();
      }
      close_in(section, low, curvature);
      break;
    }
    if (state) add(curvature, *state);
    if (last || !state) break;
  }
  set_slopes();
}

void FlatteningPath::add(double curvature_per_mm, const FlatteningState& state) {
  const double amplitude = std::max(state.amplitude_ratio, std::numeric_limits<double>::min());
  knots_.push_back({std::log(curvature_per_mm), std::log(amplitude), 0.0, state.moment_nmm, 0.0});
}

// Golden section on the moment; a curvature without equilibrium is beyond it.
void FlatteningPath::close_in(FlatteningSection& section, double low, double high) {
  const double golden = 0.5 * (std::sqrt(5.0) - 1.0);
  std::optional<double> guess = std::exp(knots_.back().log_amplitude);
  const auto state_at = [&](double curvature) {
    const auto state = flattening_state(section, curvature, guess);
    if (state) guess = state->amplitude_ratio;
    return state;
  };
  const auto moment = [](const std::optional<FlatteningState>& state) {
    return state ? state->moment_nmm : -std::numeric_limits<double>::infinity();
  };
  double a = high - golden * (high - low);
  double b = low + golden * (high - low);
  auto at_a = state_at(a);
  auto at_b = state_at(b);
  while (high - low > kCollapse_ratio * high) {
    if (moment(at_a) < moment(at_b)) {
      low = a;
      a = b;
      at_a = at_b;
      b = low + golden * (high - low);
      at_b = state_at(b);
    } else {
      high = b;
      b = a;
      at_b = at_a;
      a = high - golden * (high - low);
      at_a = state_at(a);
    }
  }
  const auto& best = moment(at_a) < moment(at_b) ? at_b : at_a;
  collapse_per_mm_ = moment(at_a) < moment(at_b) ? b : a;
  if (!best) return;
  // Halfway to it, because the amplitude runs away towards the end.
  const double from = std::exp(knots_.back().log_curvature);
  for (const double share : {0.4, 0.7, 0.9}) {
    const double curvature = from + share * (collapse_per_mm_ - from);
    const auto state = state_at(curvature);
    if (state) add(curvature, *state);
  }
  add(collapse_per_mm_, *best);
}

void FlatteningPath::set_slopes() {
  const std::size_t n = knots_.size();
  if (n < 2) return;
  const auto step = [&](std::size_t i) {
    return knots_[i + 1].log_curvature - knots_[i].log_curvature;
  };
  const auto rise = [&](std::size_t i) {
    return (knots_[i + 1].log_amplitude - knots_[i].log_amplitude) / step(i);
  };
  const auto gain = [&](std::size_t i) {
    return (knots_[i + 1].moment_nmm - knots_[i].moment_nmm) / step(i);
  };
  for (std::size_t i = 1; i + 1 < n; ++i) {
    knots_[i].amplitude_slope = middle_slope(step(i - 1), rise(i - 1), step(i), rise(i));
    knots_[i].moment_slope = middle_slope(step(i - 1), gain(i - 1), step(i), gain(i));
  }
  // Elastic at the start; at the end the parabola of the last piece.
  knots_[0].amplitude_slope = 2.0;
  knots_[0].moment_slope = knots_[0].moment_nmm;
  knots_[n - 1].amplitude_slope = 2.0 * rise(n - 2) - knots_[n - 2].amplitude_slope;
  knots_[n - 1].moment_slope = 2.0 * gain(n - 2) - knots_[n - 2].moment_slope;
}

std::optional<FlatteningState> FlatteningPath::at(double curvature_per_mm) const {
  if (curvature_per_mm > collapse_per_mm_ || knots_.empty()) return std::nullopt;
  const double x = std::log(curvature_per_mm);
  const Knot& first = knots_.front();
  if (x <= first.log_curvature) {
    const double share = std::exp(x - first.log_curvature);
    return FlatteningState{std::exp(first.log_amplitude) * share * share, first.moment_nmm * share};
  }
  if (x >= knots_.back().log_curvature) {
    return FlatteningState{std::exp(knots_.back().log_amplitude), knots_.back().moment_nmm};
  }
  const auto above =
      std::upper_bound(knots_.begin(), knots_.end(), x,
                       [](double value, const Knot& k) { return value < k.log_curvature; });
  const Knot& b = *above;
  const Knot& a = *(above - 1);
  const double step = b.log_curvature - a.log_curvature;
  const double u = (x - a.log_curvature) / step;
  return FlatteningState{
      std::exp(
          cubic(a.log_amplitude, a.amplitude_slope, b.log_amplitude, b.amplitude_slope, step, u)),
      cubic(a.moment_nmm, a.moment_slope, b.moment_nmm, b.moment_slope, step, u)};
}

}  // namespace bight::mechanics

// Robust nonlinear least squares for shapes of a few parameters. Used by fit_*.cpp only.
#pragma once

#include <Eigen/Core>
#include <algorithm>
#include <cmath>
#include <span>

namespace bight::geometry {

// Tukey's biweight: residuals beyond the limit count for nothing. A limit of 0 is plain least
// squares. (Beaton and Tukey, Technometrics 16, 1974; tuning 4.685 sigma for 95 % efficiency, from
// memory.)
struct Loss {
  double limit_mm = 0.0;

  double weight_ratio(double residual_mm) const {
    if (limit_mm <= 0.0) return 1.0;
    const double x = residual_mm / limit_mm;
    if (x * x >= 1.0) return 0.0;
    return (1.0 - x * x) * (1.0 - x * x);
  }
  // Twice the loss, so that it equals the squared residual near zero.
  double cost_mm2(double residual_mm) const {
    if (limit_mm <= 0.0) return residual_mm * residual_mm;
    const double x = residual_mm / limit_mm;
    const double y = x * x >= 1.0 ? 0.0 : 1.0 - x * x;
    return limit_mm * limit_mm / 3.0 * (1.0 - y * y * y);
  }
};

inline constexpr double kTukeySigmas_ratio = 4.685;
// Median absolute deviation to standard deviation of a normal distribution, 1 / Phi^-1(3/4).
inline constexpr double kMadToSigma_ratio = 1.482602218505602;

// One step of Levenberg-Marquardt: -(A + damping diag(A) + floor)^-1 b, A n x n symmetric by
// columns, b and the step n. False where the step is not finite.
bool damped_step(std::span<const double> a, std::span<const double> b, double damping,
                 std::span<double> step);

template <int N>
struct Normal {
  Eigen::Matrix<double, N, N> a = Eigen::Matrix<double, N, N>::Zero();
  Eigen::Matrix<double, N, 1> b = Eigen::Matrix<double, N, 1>::Zero();
  double cost_mm2 = 0.0;
};

// Levenberg-Marquardt with reweighting. rows(state, sink) calls sink(residual_mm, row) for each
// point; moved(state, step) returns the state after a step. Returns the normal matrix at the end.
template <int N, typename State, typename Rows, typename Moved>
Normal<N> levenberg(State& state, const Rows& rows, const Moved& moved, const Loss& loss,
                    int most_steps = 50) {
  using Row = Eigen::Matrix<double, N, 1>;
  const auto normal_at = [&](const State& at) {
    Normal<N> n;
    rows(at, [&](double residual_mm, const Row& row) {
      const double w = loss.weight_ratio(residual_mm);
      n.cost_mm2 += loss.cost_mm2(residual_mm);
      if (w == 0.0) return;
      for (int j = 0; j < N; ++j) {
        const double part = w * row[j];
        for (int i = j; i < N; ++i) n.a(i, j) += part * row[i];
        n.b[j] += part * residual_mm;
      }
    });
    for (int j = 0; j < N; ++j) {
      for (int i = 0; i < j; ++i) n.a(i, j) = n.a(j, i);
    }
    return n;
  };
  Normal<N> now = normal_at(state);
  double damping = 1e-6;
  for (int i = 0; i < most_steps && damping < 1e8; ++i) {
    Row step;
    if (!damped_step({now.a.data(), N * N}, {now.b.data(), N}, damping, {step.data(), N})) {
      damping *= 10.0;
      continue;
    }
    const State next = moved(state, step);
    const Normal<N> then = normal_at(next);
    if (then.cost_mm2 <= now.cost_mm2) {
      const double gained_mm2 = now.cost_mm2 - then.cost_mm2;
      state = next;
      now = then;
      damping = std::max(damping * 0.1, 1e-12);
      if (gained_mm2 <= 1e-13 * now.cost_mm2) break;
    } else {
      damping *= 10.0;
    }
  }
  return now;
}

}  // namespace bight::geometry

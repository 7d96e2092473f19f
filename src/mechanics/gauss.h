// Gauss-Legendre points on (0, 1).
#pragma once

#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>

namespace bight::mechanics {

template <std::size_t N>
struct GaussRule {
  std::array<double, N> at;
  std::array<double, N> weight;
};

// Exact for polynomials of degree 2N - 1. Roots of the Legendre polynomial by Newton's method,
// good to the last digits for N up to 64.
template <std::size_t N>
GaussRule<N> gauss_rule() {
  GaussRule<N> rule{};
  const auto n = static_cast<double>(N);
  for (std::size_t i = 0; i < N; ++i) {
    auto x = std::cos(std::numbers::pi * (static_cast<double>(i) + 0.75) / (n + 0.5));
    auto slope = 1.0;
    for (int step = 0; step < 50; ++step) {
      auto p = 1.0;
      auto before = 0.0;
      for (std::size_t k = 1; k <= N; ++k) {
        const auto kk = static_cast<double>(k);
        const auto next = ((2.0 * kk - 1.0) * x * p - (kk - 1.0) * before) / kk;
        before = p;
        p = next;
      }
      slope = n * (x * p - before) / (x * x - 1.0);
      const auto dx = p / slope;
      x -= dx;
      if (std::abs(dx) < 1e-15) break;
    }
    rule.at[i] = 0.5 * (1.0 - x);
    rule.weight[i] = 1.0 / ((1.0 - x * x) * slope * slope);
  }
  return rule;
}

}  // namespace bight::mechanics

#include "mechanics/sobol.h"

#include <bit>
#include <cmath>
#include <numbers>

namespace bight::mechanics {

namespace {

struct Polynomial {
  unsigned degree;
  unsigned inner_bits;  // coefficients between the first and the last
  std::array<std::uint32_t, 4> first;
};

// Dimensions 2 to 6; the first dimension is the bit reversal.
constexpr std::array<Polynomial, kSobolDimensions - 1> kPolynomials{{
    {1, 0, {1, 0, 0, 0}},
    {2, 1, {1, 3, 0, 0}},
    {3, 1, {1, 3, 1, 0}},
    {3, 2, {1, 1, 1, 0}},
    {4, 1, {1, 1, 3, 3}},
}};

}  // namespace

Sobol::Sobol() {
  for (unsigned bit = 0; bit < 32; ++bit) direction_[0][bit] = 1u << (31u - bit);
  for (std::size_t d = 1; d < kSobolDimensions; ++d) {
    const Polynomial& p = kPolynomials[d - 1];
    auto& v = direction_[d];
    for (unsigned bit = 0; bit < 32; ++bit) {
      if (bit < p.degree) {
        v[bit] = p.first[bit] << (31u - bit);
        continue;
      }
      v[bit] = v[bit - p.degree] ^ (v[bit - p.degree] >> p.degree);
      for (unsigned k = 1; k < p.degree; ++k) {
        if ((p.inner_bits >> (p.degree - 1u - k)) & 1u) v[bit] ^= v[bit - k];
      }
    }
  }
}

std::array<double, kSobolDimensions> Sobol::next() {
  std::array<double, kSobolDimensions> point{};
  for (std::size_t d = 0; d < kSobolDimensions; ++d) point[d] = std::ldexp(state_[d], -32);
  // Gray code order: flip by the direction of the lowest zero bit of the index.
  const unsigned bit = static_cast<unsigned>(std::countr_one(index_));
  for (std::size_t d = 0; d < kSobolDimensions; ++d) state_[d] ^= direction_[d][bit % 32u];
  ++index_;
  return point;
}

double normal_quantile(double p) {
  // The logistic curve is a good enough start; Newton's steps are damped where the tail is flat.
  double x = std::log(p / (1.0 - p)) / 1.702;
  for (int i = 0; i < 100; ++i) {
    const double below = 0.5 * std::erfc(-x / std::numbers::sqrt2);
    const double density = std::exp(-0.5 * x * x) / std::sqrt(2.0 * std::numbers::pi);
    double step = (below - p) / density;
    step = std::fmax(-0.5, std::fmin(0.5, step));
    x -= step;
    if (std::abs(step) < 1e-13) break;
  }
  return x;
}

}  // namespace bight::mechanics

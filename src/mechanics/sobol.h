// Evenly spread points in several dimensions, for propagating scatter.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

namespace bight::mechanics {

inline constexpr std::size_t kSobolDimensions = 6;

// Sobol's sequence (Sobol 1967; primitive polynomials and first direction numbers as Joe and Kuo
// 2008, from memory: the tests prove the balance that makes them useful). The first 2^m points hit
// each of 2^m equal intervals once in every coordinate.
class Sobol {
 public:
  Sobol();
  // The next point, coordinates in [0, 1); the first one is the origin.
  std::array<double, kSobolDimensions> next();

 private:
  std::array<std::array<std::uint32_t, 32>, kSobolDimensions> direction_{};
  std::array<std::uint32_t, kSobolDimensions> state_{};
  std::uint32_t index_ = 0;
};

// Value below which a standard normal variable lies with a probability in (0, 1); Newton's method
// on the error function, to 1e-12.
double normal_quantile(double probability_ratio);

}  // namespace bight::mechanics

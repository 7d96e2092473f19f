#include "mechanics/sobol.h"

#include <gtest/gtest.h>

#include <cmath>
#include <set>

namespace bight::mechanics {
namespace {

// The first 1024 points hit each of 1024 intervals exactly once in every coordinate.
TEST(Sobol, IsStratifiedInEveryCoordinate) {
  std::array<std::set<int>, kSobolDimensions> hit;
  Sobol points;
  for (int i = 0; i < 1024; ++i) {
    const auto p = points.next();
    for (std::size_t d = 0; d < kSobolDimensions; ++d) hit[d].insert(static_cast<int>(p[d] * 1024));
  }
  for (const auto& intervals : hit) EXPECT_EQ(intervals.size(), 1024u);
}

// Pairs of coordinates are spread too: 1024 points put 64 +- 32 into each sixteenth of a square,
// and the mean of a product of coordinates is 1/4 within 0.2 %.
TEST(Sobol, IsSpreadInPairs) {
  for (std::size_t a = 0; a < kSobolDimensions; ++a) {
    for (std::size_t b = 0; b < a; ++b) {
      std::array<int, 16> count{};
      double product = 0.0;
      Sobol points;
      for (int i = 0; i < 1024; ++i) {
        const auto p = points.next();
        ++count[static_cast<std::size_t>(p[a] * 4) * 4 + static_cast<std::size_t>(p[b] * 4)];
        product += (p[a] + 1.0 / 2048) * (p[b] + 1.0 / 2048);
      }
      for (int n : count) EXPECT_NEAR(n, 64, 32) << a << ' ' << b;
      EXPECT_NEAR(product / 1024, 0.25, 5e-4) << a << ' ' << b;
    }
  }
}

// Textbook values of the standard normal distribution: 97.5 % at 1.959964, 84.134475 % at 1.
TEST(NormalQuantileReference, TextbookValues) {
  EXPECT_NEAR(normal_quantile(0.975), 1.959963985, 1e-9);
  EXPECT_NEAR(normal_quantile(0.8413447461), 1.0, 1e-9);
  EXPECT_NEAR(normal_quantile(0.5), 0.0, 1e-14);
  EXPECT_NEAR(normal_quantile(1e-4), -3.719016485, 1e-9);
  EXPECT_NEAR(normal_quantile(1.0 / 2048), -normal_quantile(1 - 1.0 / 2048), 1e-9);
}

}  // namespace
}  // namespace bight::mechanics

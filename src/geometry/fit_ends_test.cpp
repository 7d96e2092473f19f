#include "geometry/fit_ends.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace bight::geometry {
namespace {

std::vector<double> even(double per_mm, double noise_mm, unsigned seed) {
  std::mt19937_64 random(seed);
  std::uniform_real_distribution<double> along(0.0, 200.0);
  std::normal_distribution<double> normal;
  std::vector<double> out;
  for (int i = 0; i < 200.0 * per_mm; ++i) out.push_back(along(random) + noise_mm * normal(random));
  return out;
}

// The end's errors over 100 draws are as large as said: Fisher information of the edge of a uniform
// spread blurred by a normal, 0.903 rho / sigma (integral of phi^2 / Phi, computed by quadrature).
TEST(FitEnds, ErrorsAreAsLargeAsSaid) {
  constexpr unsigned kTrials = 100;
  for (const double per_mm : {20.0, 50.0}) {
    for (const double noise_mm : {0.2, 1.0}) {
      double sum = 0.0;
      double said = 0.0;
      for (unsigned seed = 0; seed < kTrials; ++seed) {
        const EndFit end = upper_end(even(per_mm, noise_mm, seed), 12.5, noise_mm);
        sum += (end.at_mm - 200.0) * (end.at_mm - 200.0);
        said += end.u_mm / kTrials;
      }
      EXPECT_NEAR(std::sqrt(sum / kTrials) / said, 1.0, 0.2) << per_mm << " " << noise_mm;
    }
  }
}

// A crowd on the cut face is noticed and does not drag the end out.
TEST(FitEnds, CutFace) {
  std::vector<double> along = even(50, 0.2, 3);
  std::mt19937_64 random(4);
  std::normal_distribution<double> normal;
  for (int i = 0; i < 400; ++i) along.push_back(200.0 + 0.2 * normal(random));
  const EndFit end = upper_end(along, 12.5, 0.2);
  EXPECT_TRUE(end.on_face);
  EXPECT_NEAR(end.at_mm, 200.0, 0.1);
  EXPECT_FALSE(upper_end(even(50, 0.2, 3), 12.5, 0.2).on_face);
}

// Strays beyond the end do not count; one point is its own end.
TEST(FitEnds, StraysAndLoneliness) {
  std::vector<double> along = even(50, 0.1, 5);
  for (const double s : {203.0, 207.0, 212.0, 224.0}) along.push_back(s);
  EXPECT_NEAR(upper_end(along, 12.5, 0.1).at_mm, 200.0, 0.15);
  EXPECT_EQ(upper_end({7.0}, 12.5, 0.1).at_mm, 7.0);
}

}  // namespace
}  // namespace bight::geometry

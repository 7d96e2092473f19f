#include "geometry/fit_solver.h"

#include <gtest/gtest.h>

#include <array>
#include <limits>

namespace bight::geometry {
namespace {

// Two equations by hand: (4 1; 1 3) x = (1, 2) has x = (1/11, 7/11).
TEST(FitSolver, StepIsTheNegativeSolution) {
  const std::array<double, 4> a{4, 1, 1, 3};
  const std::array<double, 2> b{1, 2};
  std::array<double, 2> step{};
  ASSERT_TRUE(damped_step(a, b, 0.0, step));
  EXPECT_NEAR(step[0], -1.0 / 11.0, 1e-11);
  EXPECT_NEAR(step[1], -7.0 / 11.0, 1e-11);
  // Much damping: down the slope, each by its own diagonal.
  ASSERT_TRUE(damped_step(a, b, 1e9, step));
  EXPECT_NEAR(step[0] * 1e9, -1.0 / 4.0, 1e-8);
  EXPECT_NEAR(step[1] * 1e9, -2.0 / 3.0, 1e-8);
}

TEST(FitSolver, StepOfWhatIsNoNumberIsRefused) {
  const std::array<double, 1> a{1};
  const std::array<double, 1> b{std::numeric_limits<double>::quiet_NaN()};
  std::array<double, 1> step{};
  EXPECT_FALSE(damped_step(a, b, 0.0, step));
}

// Rosenbrock's valley as residuals 10 (y - x^2) and 1 - x: the end is (1, 1) from his start.
// (Rosenbrock 1960, from memory.)
TEST(FitSolver, FollowsRosenbrocksValley) {
  using State = Eigen::Vector2d;
  State at(-1.2, 1.0);
  const auto rows = [](const State& s, const auto& sink) {
    sink(10.0 * (s[1] - s[0] * s[0]), State(-20.0 * s[0], 10.0));
    sink(1.0 - s[0], State(-1.0, 0.0));
  };
  const auto moved = [](const State& s, const State& step) { return State(s + step); };
  const Normal<2> end = levenberg<2>(at, rows, moved, {});
  EXPECT_NEAR(at[0], 1.0, 1e-6);
  EXPECT_NEAR(at[1], 1.0, 1e-6);
  EXPECT_LT(end.cost_mm2, 1e-12);
}

}  // namespace
}  // namespace bight::geometry

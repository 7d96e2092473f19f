#include "geometry/fit_solver.h"

#include "geometry/dense.h"

namespace bight::geometry {

bool damped_step(std::span<const double> a, std::span<const double> b, double damping,
                 std::span<double> step) {
  const auto n = static_cast<Eigen::Index>(b.size());
  Eigen::MatrixXd damped = Eigen::Map<const Eigen::MatrixXd>(a.data(), n, n);
  // The floor keeps a parameter without any evidence where it is.
  const double floor = 1e-12 * std::max(damped.diagonal().maxCoeff(), 1e-300);
  for (Eigen::Index i = 0; i < n; ++i) damped(i, i) += damping * damped(i, i) + floor;
  const Eigen::VectorXd solved =
      solve_symmetric(damped, Eigen::Map<const Eigen::VectorXd>(b.data(), n));
  for (std::size_t i = 0; i < step.size(); ++i) step[i] = -solved[static_cast<Eigen::Index>(i)];
  return solved.allFinite();
}

}  // namespace bight::geometry

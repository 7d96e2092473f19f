#include "geometry/dense.h"

#include <Eigen/Cholesky>
#include <Eigen/Eigenvalues>
#include <Eigen/LU>

namespace bight::geometry {

using Eigen::MatrixXd;
using Eigen::VectorXd;
using Solver3 = Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d>;

Axes3 symmetric_axes(const Eigen::Matrix3d& a) {
  const Solver3 solver(a);
  return {solver.eigenvalues(), solver.eigenvectors()};
}

Axes3 symmetric_axes_direct(const Eigen::Matrix3d& a) {
  Solver3 solver;
  solver.computeDirect(a);
  return {solver.eigenvalues(), solver.eigenvectors()};
}

Eigen::Vector3d symmetric_values_direct(const Eigen::Matrix3d& a) {
  Solver3 solver;
  solver.computeDirect(a, Eigen::EigenvaluesOnly);
  return solver.eigenvalues();
}

SymmetricEigen symmetric_eigen(const MatrixXd& a) {
  const Eigen::SelfAdjointEigenSolver<MatrixXd> solver(a);
  return {solver.eigenvalues(), solver.eigenvectors()};
}

VectorXd solve_symmetric(const MatrixXd& a, const VectorXd& b) { return a.ldlt().solve(b); }

MatrixXd inverse(const MatrixXd& a) { return a.inverse(); }

MatrixXd scaled(const MatrixXd& a, const VectorXd& s) {
  MatrixXd out = a;
  for (Eigen::Index j = 0; j < out.cols(); ++j) {
    for (Eigen::Index i = 0; i < out.rows(); ++i) out(i, j) *= s[i] * s[j];
  }
  return out;
}

void add_congruent(MatrixXd& sum, const MatrixXd& s, const Eigen::Ref<const MatrixXd>& a) {
  const MatrixXd half = s * a;
  sum += half * s.transpose();
}

}  // namespace bight::geometry

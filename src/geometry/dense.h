// Dense linear algebra as ordinary functions. A file that names one of Eigen's decompositions makes
// it anew, which takes seconds; here each is made once. All matrices hold finite numbers; what is
// symmetric is read from its lower triangle.
#pragma once

#include <Eigen/Core>

namespace bight::geometry {

// Eigenvalues, least first, and as columns the unit vectors that belong to them.
struct Axes3 {
  Eigen::Vector3d values;
  Eigen::Matrix3d vectors;
};

// Of a symmetric matrix, to the last digits (tridiagonal QL).
Axes3 symmetric_axes(const Eigen::Matrix3d& a);

// The same in closed form: several times as fast, right to about the root of the precision where
// eigenvalues lie close together.
Axes3 symmetric_axes_direct(const Eigen::Matrix3d& a);
Eigen::Vector3d symmetric_values_direct(const Eigen::Matrix3d& a);

struct SymmetricEigen {
  Eigen::VectorXd values;   // n, least first
  Eigen::MatrixXd vectors;  // n x n, columns
};
SymmetricEigen symmetric_eigen(const Eigen::MatrixXd& a);

// x of a x = b, a n x n symmetric and at least semidefinite (pivoted LDL'); where a has nothing to
// say about an unknown it is 0.
Eigen::VectorXd solve_symmetric(const Eigen::MatrixXd& a, const Eigen::VectorXd& b);

// The inverse of a square matrix (pivoted LU); infinities or no numbers where there is none.
Eigen::MatrixXd inverse(const Eigen::MatrixXd& a);

// diag(s) a diag(s), a n x n.
Eigen::MatrixXd scaled(const Eigen::MatrixXd& a, const Eigen::VectorXd& s);

// sum += s a s', s n x m, a m x m.
void add_congruent(Eigen::MatrixXd& sum, const Eigen::MatrixXd& s,
                   const Eigen::Ref<const Eigen::MatrixXd>& a);

}  // namespace bight::geometry

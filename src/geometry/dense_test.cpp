#include "geometry/dense.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace bight::geometry {
namespace {

using Eigen::MatrixXd;
using Eigen::VectorXd;

// L L' of a triangle with a strong diagonal: symmetric, definite.
MatrixXd definite(Eigen::Index n, std::mt19937& random) {
  std::uniform_real_distribution<double> number(-1.0, 1.0);
  MatrixXd lower = MatrixXd::Zero(n, n);
  for (Eigen::Index i = 0; i < n; ++i) {
    for (Eigen::Index j = 0; j < i; ++j) lower(i, j) = number(random);
    lower(i, i) = 1.5 + number(random);
  }
  return lower * lower.transpose();
}

// By their definition: A v = l v, V'V = 1, values in order.
template <typename Eigens>
void expect_eigen(const MatrixXd& a, const Eigens& e, double digits_lost) {
  const MatrixXd v = e.vectors;
  const VectorXd l = e.values;
  EXPECT_LT((a * v - v * MatrixXd(l.asDiagonal())).norm(), digits_lost * a.norm());
  EXPECT_LT((v.transpose() * v - MatrixXd::Identity(a.rows(), a.cols())).norm(), digits_lost);
  for (Eigen::Index i = 1; i < l.size(); ++i) EXPECT_LE(l[i - 1], l[i]);
}

TEST(Dense, EigenvectorsAreWhatTheyAreDefinedToBe) {
  std::mt19937 random(1);
  for (int k = 0; k < 50; ++k) {
    const MatrixXd three = definite(3, random);
    expect_eigen(three, symmetric_axes(three), 1e-13);
    expect_eigen(three, symmetric_axes_direct(three), 1e-6);
    EXPECT_LT((symmetric_values_direct(three) - symmetric_axes(three).values).norm(),
              1e-7 * three.norm());
    const MatrixXd more = definite(2 + k % 12, random);
    expect_eigen(more, symmetric_eigen(more), 1e-12);
  }
  // 2 and 4 about 45 degrees in the plane, 7 across it: by hand.
  Eigen::Matrix3d a;
  a << 3, 1, 0, 1, 3, 0, 0, 0, 7;
  const Axes3 axes = symmetric_axes(a);
  EXPECT_LT((axes.values - Eigen::Vector3d(2, 4, 7)).norm(), 1e-14);
  EXPECT_NEAR(std::abs(axes.vectors(0, 0)), std::sqrt(0.5), 1e-14);
}

TEST(Dense, SolutionsSolve) {
  std::mt19937 random(2);
  for (Eigen::Index n = 1; n < 14; ++n) {
    const MatrixXd a = definite(n, random);
    const VectorXd x = VectorXd::LinSpaced(n, -1.0, 2.0);
    EXPECT_LT((a * solve_symmetric(a, a * x) - a * x).norm(), 1e-11 * (a * x).norm());
    EXPECT_LT((a * inverse(a) - MatrixXd::Identity(n, n)).norm(), 1e-9);
  }
  // Nothing is known of the second unknown: it stays 0.
  MatrixXd half = MatrixXd::Zero(2, 2);
  half(0, 0) = 4.0;
  const VectorXd x = solve_symmetric(half, Eigen::Vector2d(8.0, 0.0));
  EXPECT_EQ(x, Eigen::Vector2d(2.0, 0.0));
}

// Term by term, from the definitions.
TEST(Dense, ProductsAddUp) {
  std::mt19937 random(3);
  const MatrixXd a = definite(3, random);
  const VectorXd s = Eigen::Vector3d(2.0, 0.5, -1.0);
  const MatrixXd by_s = scaled(a, s);
  MatrixXd screws(2, 3);
  screws << 1, 2, 3, -1, 0, 4;
  MatrixXd sum = MatrixXd::Ones(2, 2);
  add_congruent(sum, screws, a);
  MatrixXd wanted = MatrixXd::Ones(2, 2);
  for (int i = 0; i < 3; ++i) {
    for (int j = 0; j < 3; ++j) {
      EXPECT_DOUBLE_EQ(by_s(i, j), s[i] * a(i, j) * s[j]);
      for (int p = 0; p < 2; ++p) {
        for (int q = 0; q < 2; ++q) wanted(p, q) += screws(p, i) * a(i, j) * screws(q, j);
      }
    }
  }
  EXPECT_LT((sum - wanted).norm(), 1e-12);
}

}  // namespace
}  // namespace bight::geometry

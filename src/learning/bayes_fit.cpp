#include "learning/bayes_fit.h"

#include <Eigen/Cholesky>
#include <cmath>

#include "base/quantiles.h"

namespace bight::learning {

double StudentT::half_width(double share_ratio) const {
  return scale * base::student_quantile(0.5 + share_ratio / 2.0, freedom);
}

base::Result<BayesFit> BayesFit::after(const std::vector<Eigen::VectorXd>& rows,
                                       const std::vector<double>& y) const {
  bool fine = rows.size() == y.size() && precision.rows() == m.size() &&
              precision.cols() == m.size() && m.allFinite() && precision.allFinite() && a > 0.0 &&
              b >= 0.0;
  for (std::size_t i = 0; fine && i < rows.size(); ++i) {
    fine = rows[i].size() == m.size() && rows[i].allFinite() && std::isfinite(y[i]);
  }
  if (!fine) {
    return base::Failure{"fit.number", "", "a reading is missing or no finite number",
                         "every reading needs all its numbers"};
  }
  BayesFit next;
  next.precision = precision;
  // About the prior mean, so that nothing cancels: y - Xm instead of y'y + m'V^-1 m - ….
  Eigen::VectorXd pull = Eigen::VectorXd::Zero(m.size());
  for (std::size_t i = 0; i < rows.size(); ++i) {
    next.precision += rows[i] * rows[i].transpose();
    pull += rows[i] * (y[i] - rows[i].dot(m));
  }
  const Eigen::LLT<Eigen::MatrixXd> factor(next.precision);
  if (factor.info() != Eigen::Success) {
    return base::Failure{"fit.rank", "", "the readings cannot tell some of the unknowns apart",
                         "take readings that differ in what is to be learned"};
  }
  const Eigen::VectorXd shift = factor.solve(pull);
  next.m = m + shift;
  next.a = a + static_cast<double>(rows.size()) / 2.0;
  double squares = shift.dot(precision * shift);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const double left = y[i] - rows[i].dot(next.m);
    squares += left * left;
  }
  next.b = b + squares / 2.0;
  return next;
}

StudentT BayesFit::predict(const Eigen::VectorXd& x, bool with_noise) const {
  const Eigen::LLT<Eigen::MatrixXd> factor(precision);
  const double leverage = x.dot(factor.solve(x));
  return {x.dot(m), std::sqrt(b / a * ((with_noise ? 1.0 : 0.0) + leverage)), 2.0 * a};
}

double BayesFit::noise_sigma() const { return std::sqrt(b / a); }

}  // namespace bight::learning

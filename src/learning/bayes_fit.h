// Linear regression that starts from what is believed: normal-inverse-gamma in closed form.
#pragma once

#include <Eigen/Core>
#include <vector>

#include "base/result.h"

namespace bight::learning {

// A prediction as Student's t: location + scale * t.
struct StudentT {
  double location = 0.0;
  double scale = 0.0;
  double freedom = 0.0;

  // Half width of the interval about the location that holds this share. 0 < share < 1.
  double half_width(double share_ratio) const;
};

// y = x . c + noise, noise ~ N(0, s²), c | s² ~ N(m, s² V), s² ~ inverse gamma(a, b). Units are the
// caller's: y's for the noise, y per x for the coefficients.
struct BayesFit {
  Eigen::VectorXd m;          // what the coefficients are believed to be
  Eigen::MatrixXd precision;  // V^-1: how firmly, in readings
  double a = 0.0;             // half the readings' worth of knowledge about the noise
  double b = 0.0;             // a noise variance of about b / a

  // The belief after readings: V' = (V^-1 + X'X)^-1, m' = V'(V^-1 m + X'y), a' = a + n/2,
  // b' = b + (y'y + m'V^-1 m - m''V'^-1 m'')/2 (textbook, from memory; the tests integrate it
  // numerically). Each of rows is one reading's x.
  // Failure codes: fit.number (sizes differ, not finite), fit.rank (no precision where readings
  // give none).
  base::Result<BayesFit> after(const std::vector<Eigen::VectorXd>& rows,
                               const std::vector<double>& y) const;

  // The next reading at x: t with 2a degrees of freedom, location x'm, scale²
  // (b/a)(1 + x'Vx). with_noise false: the line itself.
  StudentT predict(const Eigen::VectorXd& x, bool with_noise = true) const;

  double noise_sigma() const;  // sqrt(b / a)
};

}  // namespace bight::learning

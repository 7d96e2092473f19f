#include "learning/bayes_fit.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "learning/reference_test_util.h"

namespace bight::learning {
namespace {

Eigen::VectorXd at(double x) { return Eigen::Vector2d(1.0, x); }

BayesFit norris_prior() {
  BayesFit prior;
  prior.m = Eigen::Vector2d(0.0, 1.0);
  prior.precision = Eigen::Vector2d(0.01, 100.0).asDiagonal();
  prior.a = 2.0;
  prior.b = 1.0;
  return prior;
}

BayesFit norris_after(std::size_t most) {
  const base::CsvTable csv = reference::table("nist_strd/norris.csv");
  std::vector<Eigen::VectorXd> rows;
  std::vector<double> y;
  for (std::size_t i = 0; i < std::min(most, csv.num_rows()); ++i) {
    rows.push_back(at(*csv.number(i, "x")));
    y.push_back(*csv.number(i, "y"));
  }
  return *norris_prior().after(rows, y);
}

// Norris's data (NIST StRD), prior (0, 1), V^-1 = diag(0.01, 100), a 2, b 1: worked in 40-digit
// arithmetic outside this project, first five rows and all 36.
TEST(BayesFitReference, NorrisVector) {
  const BayesFit five = norris_after(5);
  EXPECT_NEAR(five.m(0), -0.47573521255326, 1e-12);
  EXPECT_NEAR(five.m(1), 1.0045045786115, 1e-12);
  EXPECT_DOUBLE_EQ(five.a, 4.5);
  EXPECT_NEAR(five.b, 1.2642837743046, 1e-12);
  const StudentT next = five.predict(at(500.0));
  EXPECT_NEAR(next.location, 501.77655409322, 1e-10);
  EXPECT_NEAR(next.scale, 0.60359779349731, 1e-12);
  EXPECT_DOUBLE_EQ(next.freedom, 9.0);

  const BayesFit all = norris_after(36);
  EXPECT_NEAR(all.m(0), -0.26212065123343, 1e-12);
  EXPECT_NEAR(all.m(1), 1.0021165088169, 1e-12);
  EXPECT_NEAR(all.b, 14.309267079386, 1e-11);
  EXPECT_NEAR(all.predict(at(500.0)).location, 500.79613375723, 1e-10);
  EXPECT_NEAR(all.predict(at(500.0)).scale, 0.85815924584141, 1e-12);
  EXPECT_DOUBLE_EQ(all.predict(at(500.0)).freedom, 40.0);
}

// Against integration on a grid: prior times likelihood summed over intercept, slope and noise,
// without any of the closed forms. Mean of the coefficients and of the prediction, and its variance
// (of t: scale² freedom / (freedom - 2)).
TEST(BayesFitReference, GridIntegration) {
  BayesFit prior;
  prior.m = Eigen::Vector2d(1.0, 0.03);
  prior.precision = Eigen::Vector2d(0.5, 40.0).asDiagonal();
  prior.a = 3.0;
  prior.b = 0.3;
  const double x[] = {0.4, 1.1, 2.0, 2.6};
  const double y[] = {1.5, 1.2, 1.9, 1.4};
  std::vector<Eigen::VectorXd> rows;
  for (const double one : x) rows.push_back(at(one));
  const BayesFit fit = *prior.after(rows, {y, y + 4});

  const double x_next = 3.0;
  double total = 0.0;
  double mean_c0 = 0.0;
  double mean_c1 = 0.0;
  double mean_next = 0.0;
  double square_next = 0.0;
  for (double log_variance = -7.0; log_variance <= 4.0; log_variance += 0.05) {
    const double variance = std::exp(log_variance);
    // Inverse gamma times the change of variable to its logarithm.
    const double noise = std::exp(-prior.b / variance) * std::pow(variance, -prior.a);
    for (double c0 = -6.0; c0 <= 8.0; c0 += 0.05) {
      for (double c1 = -1.2; c1 <= 1.2; c1 += 0.012) {
        double square = 0.5 * (c0 - 1.0) * (c0 - 1.0) + 40.0 * (c1 - 0.03) * (c1 - 0.03);
        for (int i = 0; i < 4; ++i) square += std::pow(y[i] - c0 - c1 * x[i], 2.0);
        const double weight =
            noise * std::exp(-square / (2.0 * variance)) * std::pow(variance, -(4.0 + 2.0) / 2.0);
        const double next = c0 + c1 * x_next;
        total += weight;
        mean_c0 += weight * c0;
        mean_c1 += weight * c1;
        mean_next += weight * next;
        square_next += weight * (next * next + variance);
      }
    }
  }
  mean_next /= total;
  EXPECT_NEAR(fit.m(0), mean_c0 / total, 1e-6);
  EXPECT_NEAR(fit.m(1), mean_c1 / total, 1e-6);
  const StudentT next = fit.predict(at(x_next));
  EXPECT_NEAR(next.location, mean_next, 1e-6);
  const double variance = next.scale * next.scale * next.freedom / (next.freedom - 2.0);
  EXPECT_NEAR(variance, square_next / total - mean_next * mean_next, 1e-4 * variance);
}

// Readings taken one after the other teach the same as all at once.
TEST(BayesFit, OrderDoesNotMatter) {
  const std::vector<Eigen::VectorXd> rows = {at(1.0), at(2.0), at(5.0)};
  const std::vector<double> y = {1.1, 2.3, 4.6};
  const BayesFit once = *norris_prior().after(rows, y);
  BayesFit stepwise = norris_prior();
  for (std::size_t i = 0; i < 3; ++i) stepwise = *stepwise.after({rows[i]}, {y[i]});
  EXPECT_NEAR(once.m(1), stepwise.m(1), 1e-14);
  EXPECT_NEAR(once.b, stepwise.b, 1e-14);
}

// 95 % of t with 9 degrees of freedom lie within 2.262157 (tables of Student's t).
TEST(BayesFit, HalfWidthIsStudents) {
  EXPECT_NEAR((StudentT{0.0, 2.0, 9.0}.half_width(0.95)), 2.0 * 2.262157, 1e-6);
}

TEST(BayesFit, RefusesBrokenReadings) {
  EXPECT_EQ(norris_prior().after({at(1.0)}, {}).failure().code, "fit.number");
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_EQ(norris_prior().after({at(1.0)}, {nan}).failure().code, "fit.number");
  BayesFit blank = norris_prior();
  blank.precision.setZero();
  EXPECT_EQ(blank.after({at(1.0)}, {1.0}).failure().code, "fit.rank");
}

}  // namespace
}  // namespace bight::learning

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "geometry/fit_axis.h"
#include "geometry/scan_maker_test_util.h"

namespace bight::geometry {
namespace {

using base::Angle;

const made::Tube kTube{{{200, 0, 70, 60}, {90, 110, 100, 75}, {50, -40, 35, 50}}, 150, 25};

TubeAxis true_axis() {
  TubeAxis axis;
  axis.first_bend.origin_mm = Vec3(200, 0, 0);
  axis.rows = {{0, Angle(), Angle::degrees(70), 60},
               {90, Angle::degrees(110), Angle::degrees(100), 75},
               {50, Angle::degrees(-40), Angle::degrees(35), 50}};
  axis.radius_mm = 12.5;
  return axis;
}

TubeAxis spoilt(const TubeAxis& axis, unsigned seed) {
  std::mt19937_64 random(seed);
  std::normal_distribution<double> normal;
  Eigen::VectorXd step(static_cast<Eigen::Index>(columns_of(axis).size()));
  const std::vector<AxisColumn> columns = columns_of(axis);
  for (Eigen::Index c = 0; c < step.size(); ++c) {
    const AxisNumber number = columns[static_cast<std::size_t>(c)].number;
    const bool angle = number == AxisNumber::kTurn || number == AxisNumber::kRotation ||
                       number == AxisNumber::kAngle;
    step[c] = (angle ? 0.004 : 0.5) * normal(random);
  }
  return moved(axis, step);
}

made::Scan scan_of(std::size_t num, double noise_mm, unsigned seed) {
  made::Scan scan;
  scan.num = num;
  scan.noise_mm = noise_mm;
  scan.seed = seed;
  scan.placed = false;
  return scan;
}

AxisFitOptions options() {
  AxisFitOptions out;
  out.first_limit_mm = 3.0;
  out.least_limit_mm = 1e-3;
  return out;
}

// From a start millimetres and fractions of a degree off, perfect points give the axis back.
TEST(FitAxisSolve, PerfectPointsGiveTheAxisBack) {
  const Points points = made::scanned(kTube, scan_of(6000, 0.0, 3));
  for (unsigned seed = 1; seed < 5; ++seed) {
    const AxisFit fit = fit_axis(spoilt(true_axis(), seed), points, options());
    for (std::size_t i = 0; i < 3; ++i) {
      const BendRow& got = fit.axis.rows[i];
      const BendRow wanted = true_axis().rows[i];
      EXPECT_NEAR(got.angle.deg(), wanted.angle.deg(), 1e-3);
      EXPECT_NEAR(got.radius_mm, wanted.radius_mm, 1e-2);
      if (i == 0) continue;
      EXPECT_NEAR(got.straight_mm, wanted.straight_mm, 1e-2);
      EXPECT_NEAR(got.rotation.deg(), wanted.rotation.deg(), 1e-3);
    }
    EXPECT_NEAR(fit.axis.radius_mm, 12.5, 1e-4);
  }
}

// Uncertainties from the Jacobian against the spread of 40 fits of noisy points: the average of the
// squared errors over said variances is chi-square, 1 +- 0.22 for each number (two sigma of 40
// trials); patches lend the larger of two estimates, so it may lie below.
TEST(FitAxisSolve, UncertaintiesAreTrue) {
  constexpr unsigned kTrials = 40;
  const std::vector<AxisColumn> columns = columns_of(true_axis());
  std::vector<double> square(columns.size(), 0.0);
  for (unsigned trial = 0; trial < kTrials; ++trial) {
    const Points points = made::scanned(kTube, scan_of(3000, 0.2, 50 + trial));
    AxisFit fit = fit_axis(true_axis(), points, options());
    const AxisEvidence evidence = refine_on_all(fit, points, options());
    EXPECT_NEAR(evidence.rms_mm, 0.2, 0.02);
    for (std::size_t c = 6; c < columns.size(); ++c) {
      const BendRow wanted = true_axis().rows[columns[c].bend];
      const BendRow& got = fit.axis.rows[columns[c].bend];
      double error = 0.0;
      switch (columns[c].number) {
        case AxisNumber::kStraight:
          error = got.straight_mm - wanted.straight_mm;
          break;
        case AxisNumber::kRotation:
          error = (got.rotation - wanted.rotation).wrapped().rad();
          break;
        case AxisNumber::kAngle:
          error = (got.angle - wanted.angle).rad();
          break;
        case AxisNumber::kBendRadius:
          error = got.radius_mm - wanted.radius_mm;
          break;
        default:
          error = fit.axis.radius_mm - 12.5;
          break;
      }
      const auto i = static_cast<Eigen::Index>(c);
      square[c] += error * error / evidence.covariance(i, i) / kTrials;
    }
  }
  double mean = 0.0;
  for (std::size_t c = 6; c < columns.size(); ++c) {
    EXPECT_LT(square[c], 1.6) << c;
    EXPECT_GT(square[c], 0.3) << c;
    mean += square[c] / static_cast<double>(columns.size() - 6);
  }
  EXPECT_NEAR(mean, 0.9, 0.25);
}

// Errors that neighbouring points have in common (a wave of 0.1 mm along the skin, as from ovality
// or stitched views) raise the uncertainty far above what independent points would give.
TEST(FitAxisSolve, CommonErrorsCount) {
  Points points = made::scanned(kTube, scan_of(10000, 0.05, 4));
  const auto said = [&](const Points& cloud) {
    AxisFit fit = fit_axis(true_axis(), cloud, options());
    const AxisEvidence evidence = refine_on_all(fit, cloud, options());
    return std::sqrt(evidence.covariance(8, 8));  // angle of the second bend's straight neighbour
  };
  const double independent = said(points);
  for (Vec3& p : points) p += 0.1 * std::sin(p.x() / 17.0) * Vec3(0, 0.7, 0.7);
  EXPECT_GT(said(points), 2.0 * independent);
}

// What is held stays: the tube's radius, a bend's radius.
TEST(FitAxisSolve, HeldNumbersStay) {
  const Points points = made::scanned(kTube, scan_of(6000, 0.1, 3));
  TubeAxis start = true_axis();
  start.radius_mm = 12.6;
  start.rows[1].radius_mm = 76;
  AxisFitOptions hold = options();
  hold.hold_radius = true;
  hold.held_bends = {1};
  AxisFit fit = fit_axis(start, points, hold);
  const AxisEvidence evidence = refine_on_all(fit, points, hold);
  EXPECT_DOUBLE_EQ(fit.axis.radius_mm, 12.6);
  EXPECT_DOUBLE_EQ(fit.axis.rows[1].radius_mm, 76);
  const auto last = evidence.covariance.rows() - 1;
  EXPECT_EQ(evidence.covariance(last, last), 0.0);
}

// A straight tube has no end of numbers that no point shows: they stay, the rest is fitted.
TEST(FitAxisSolve, StraightTube) {
  const Points points = made::scanned({{}, 400, 25}, scan_of(5000, 0.1, 3));
  TubeAxis start;
  start.first_bend.origin_mm = Vec3(100, 0.5, -0.4);
  start.radius_mm = 12;
  AxisFit fit = fit_axis(start, points, options());
  const AxisEvidence evidence = refine_on_all(fit, points, options());
  EXPECT_NEAR(fit.axis.radius_mm, 12.5, 0.01);
  EXPECT_NEAR(fit.axis.first_bend.origin_mm.y(), 0.0, 0.02);
  EXPECT_NEAR(fit.axis.first_bend.ahead.x(), 1.0, 1e-6);
  EXPECT_LT(std::sqrt(evidence.covariance(6, 6)), 0.01);
}

// How much of an arc was seen.
TEST(FitAxisSolve, SeenShareOfAnArc) {
  made::Scan scan = scan_of(8000, 0.1, 3);
  // The first bend runs from 200 to 273 along the tube; hide its second half.
  scan.holes_mm = {{236.65, 280}};
  const Points points = made::scanned(kTube, scan);
  AxisFit fit = fit_axis(true_axis(), points, options());
  const AxisEvidence evidence = refine_on_all(fit, points, options());
  EXPECT_NEAR(evidence.seen_ratio[1], 0.5, 0.06);
  EXPECT_NEAR(evidence.seen_ratio[3], 1.0, 1e-9);
}

}  // namespace
}  // namespace bight::geometry

#include "geometry/fit_shapes.h"

#include <gtest/gtest.h>

#include <Eigen/Dense>
#include <cmath>
#include <numbers>
#include <random>

#include "geometry/fit_solver.h"

namespace bight::geometry {
namespace {

using base::Angle;

// Points of a cylinder in an odd position, over a share of its girth, with noise.
Points cylinder_points(std::size_t num, double girth_ratio, double noise_mm, unsigned seed,
                       double radius_mm = 12.5, double length_mm = 100.0) {
  std::mt19937_64 random(seed);
  std::uniform_real_distribution<double> unit;
  std::normal_distribution<double> normal(0.0, 1.0);
  const Vec3 axis = Vec3(0.3, -0.5, 0.8).normalized();
  const Vec3 e1 = axis.unitOrthogonal();
  const Vec3 e2 = axis.cross(e1);
  Points out;
  for (std::size_t i = 0; i < num; ++i) {
    const double turn = 2 * std::numbers::pi * girth_ratio * unit(random);
    Vec3 p = Vec3(40, 50, -60) + axis * (length_mm * (unit(random) - 0.5)) +
             (e1 * std::cos(turn) + e2 * std::sin(turn)) * radius_mm;
    for (int k = 0; k < 3; ++k) p[k] += noise_mm * normal(random);
    out.push_back(p);
  }
  return out;
}

// Line and plane against the singular value decomposition of the centred points (Eigen's JacobiSVD:
// another algorithm than ours, which solves the 3 x 3 covariance).
TEST(FitShapes, LineAndPlaneAgreeWithSingularValues) {
  std::mt19937_64 random(3);
  std::normal_distribution<double> normal;
  for (int trial = 0; trial < 50; ++trial) {
    Points points;
    for (int i = 0; i < 40; ++i) {
      points.emplace_back(100 * normal(random), 30 * normal(random), 2 * normal(random));
    }
    Eigen::MatrixXd m(40, 3);
    Vec3 mean = Vec3::Zero();
    for (const Vec3& p : points) mean += p / 40.0;
    for (int i = 0; i < 40; ++i) m.row(i) = points[static_cast<std::size_t>(i)] - mean;
    const Eigen::JacobiSVD<Eigen::MatrixXd> svd(m, Eigen::ComputeThinU | Eigen::ComputeThinV);
    const LineFit line = *fit_line(points);
    const PlaneFit plane = *fit_plane(points);
    EXPECT_NEAR(std::abs(line.direction.dot(svd.matrixV().col(0))), 1.0, 1e-12);
    EXPECT_NEAR(std::abs(plane.normal.dot(svd.matrixV().col(2))), 1.0, 1e-12);
    EXPECT_NEAR(plane.rms_mm, svd.singularValues()[2] / std::sqrt(40.0), 1e-9);
    EXPECT_NEAR(line.rms_mm,
                std::hypot(svd.singularValues()[1], svd.singularValues()[2]) / std::sqrt(40.0),
                1e-9);
  }
}

// Perfect points give the shape back, in any position and also when only a quarter is seen.
TEST(FitShapes, PerfectPointsGiveTheShapeBack) {
  for (const double girth : {1.0, 0.25}) {
    const CylinderFit fit = *fit_cylinder(cylinder_points(200, girth, 0.0, 5));
    EXPECT_NEAR(fit.radius_mm, 12.5, 1e-7);
    EXPECT_NEAR(std::abs(fit.direction.dot(Vec3(0.3, -0.5, 0.8).normalized())), 1.0, 1e-12);
    EXPECT_LT(fit.rms_mm, 1e-7);
  }
  Points circle;
  Points sphere;
  for (int i = 0; i < 60; ++i) {
    const double t = 0.05 * i;
    circle.push_back(Vec3(5, 6, 7) +
                     80.0 * (Vec3::UnitX() * std::cos(t) + Vec3(0, 0.6, 0.8) * std::sin(t)));
    sphere.push_back(Vec3(5, 6, 7) + 20.0 * Vec3(std::cos(t) * std::sin(2 * t), std::sin(t),
                                                 std::cos(t) * std::cos(2 * t)));
  }
  const CircleFit ring = *fit_circle(circle);
  EXPECT_NEAR(ring.radius_mm, 80.0, 1e-9);
  EXPECT_NEAR((ring.centre_mm - Vec3(5, 6, 7)).norm(), 0.0, 1e-9);
  const SphereFit ball = *fit_sphere(sphere);
  EXPECT_NEAR(ball.radius_mm, 20.0, 1e-9);
  EXPECT_NEAR((ball.centre_mm - Vec3(5, 6, 7)).norm(), 0.0, 1e-9);
}

// A torus from a start that is 20° and 30 % off.
TEST(FitShapes, TorusFromAPoorStart) {
  Points points;
  std::mt19937_64 random(4);
  std::uniform_real_distribution<double> unit;
  for (int i = 0; i < 400; ++i) {
    const double along = 1.5 * unit(random);
    const double girth = 6.2831853 * unit(random);
    const double rho = 60.0 + 12.5 * std::cos(girth);
    points.emplace_back(rho * std::cos(along) + 3, rho * std::sin(along) - 2,
                        12.5 * std::sin(girth));
  }
  TorusFit start;
  start.centre_mm = Vec3(8, 4, -6);
  start.axis = Vec3(0.2, 0.3, 1.0).normalized();
  start.ring_radius_mm = 75;
  start.tube_radius_mm = 9;
  const TorusFit fit = *fit_torus(points, start);
  EXPECT_NEAR(fit.ring_radius_mm, 60.0, 1e-6);
  EXPECT_NEAR(fit.tube_radius_mm, 12.5, 1e-6);
  EXPECT_NEAR((fit.centre_mm - Vec3(3, -2, 0)).norm(), 0.0, 1e-6);
  EXPECT_NEAR(distance_mm(fit, points[7]), 0.0, 1e-6);
}

// Simulation table for a cylinder of r 12.5, length 100, sigma 0.05: rms error of the axis' angle
// 0.030° from 50 points, 0.0098° from 500, 0.0029° from 5000 (reference of this project, computed
// with SciPy, trials not told). By theory sqrt(48) sigma / (L sqrt(n)), two tilts of variance
// 24 sigma^2 / (n L^2) each: 0.0281, 0.00888, 0.00281; with few points the girth is uneven and the
// error a little larger. Our rms of 1000 trials is known to 1.6 % (chi-square of 2000).
TEST(FitShapesReference, AxisErrorOfACylinder) {
  const Vec3 axis = Vec3(0.3, -0.5, 0.8).normalized();
  const struct {
    std::size_t num;
    double wanted_deg;
    unsigned trials;
  } cases[] = {{50, 0.030, 1000}, {500, 0.0098, 1000}, {5000, 0.0029, 200}};
  for (const auto& c : cases) {
    double sum = 0.0;
    for (unsigned trial = 0; trial < c.trials; ++trial) {
      CylinderFit start;
      start.direction = Vec3(0.32, -0.5, 0.8).normalized();
      start.point_mm = Vec3(41, 50, -60);
      start.radius_mm = 12;
      const CylinderFit fit = *fit_cylinder(cylinder_points(c.num, 1.0, 0.05, 100 + trial), start);
      const double deg = std::min(angle_between(fit.direction, axis).deg(),
                                  angle_between(-fit.direction, axis).deg());
      sum += deg * deg;
    }
    const double rms_deg = std::sqrt(sum / c.trials);
    EXPECT_NEAR(rms_deg / c.wanted_deg, 1.0, 0.15) << c.num;
    const double theory_deg =
        std::sqrt(48.0 / static_cast<double>(c.num)) * 0.05 / 100.0 * 180.0 / std::numbers::pi;
    EXPECT_NEAR(rms_deg / theory_deg, 1.0, c.num < 100 ? 0.12 : 0.06) << c.num;
  }
}

// A quarter of the girth: the radius spreads by 0.020 mm over trials (same table, 500 points), and
// the Jacobian's own estimate says so. Held at the measured radius the axis does not move.
TEST(FitShapesReference, RadiusOfAQuarterGirth) {
  double sum = 0.0;
  double said = 0.0;
  double offset2 = 0.0;
  constexpr unsigned kTrials = 200;
  const Vec3 axis = Vec3(0.3, -0.5, 0.8).normalized();
  for (unsigned trial = 0; trial < kTrials; ++trial) {
    const Points points = cylinder_points(500, 0.25, 0.05, 900 + trial);
    CylinderFit start;
    start.direction = axis;
    start.point_mm = Vec3(40, 50, -60);
    start.radius_mm = 12.4;
    const CylinderFit fit = *fit_cylinder(points, start);
    sum += (fit.radius_mm - 12.5) * (fit.radius_mm - 12.5);
    said += fit.radius_u_mm / kTrials;
    ShapeFitOptions held;
    held.fixed_radius_mm = 12.5;
    const CylinderFit with_od = *fit_cylinder(points, start, held);
    const Vec3 off = with_od.point_mm - Vec3(40, 50, -60);
    offset2 += (off - axis * off.dot(axis)).squaredNorm();
  }
  EXPECT_NEAR(std::sqrt(sum / kTrials) / 0.020, 1.0, 0.2);
  EXPECT_NEAR(said / 0.020, 1.0, 0.2);
  // Without the radius the offset spreads by 0.023 mm; with it to a third or less.
  EXPECT_LT(std::sqrt(offset2 / kTrials), 0.010);
}

// The loss leaves out what does not belong: a quarter of strays at up to 20 mm.
TEST(FitShapes, StraysDoNotCount) {
  Points points = cylinder_points(400, 1.0, 0.05, 8);
  std::mt19937_64 random(9);
  std::uniform_real_distribution<double> unit(-60.0, 60.0);
  for (int i = 0; i < 100; ++i) {
    points.emplace_back(40 + unit(random), 50 + unit(random), -60 + unit(random));
  }
  CylinderFit start;
  start.direction = Vec3(0.33, -0.48, 0.8).normalized();
  start.point_mm = Vec3(40.5, 50, -60);
  start.radius_mm = 12.3;
  ShapeFitOptions robust;
  robust.loss_limit_mm = 3.0;
  EXPECT_NEAR(fit_cylinder(points, start, robust)->radius_mm, 12.5, 0.02);
  EXPECT_GT(std::abs(fit_cylinder(points, start)->radius_mm - 12.5), 0.5);
}

// Tukey's biweight: weight 1 at 0, (1 - 1/4)^2 at half the limit, 0 beyond; the cost's slope is
// twice the weighted residual (numeric difference).
TEST(FitShapes, LossAndWeightBelongTogether) {
  const Loss loss{2.0};
  EXPECT_DOUBLE_EQ(loss.weight_ratio(1.0), 0.5625);
  EXPECT_DOUBLE_EQ(loss.weight_ratio(2.5), 0.0);
  for (const double e : {0.1, 0.9, 1.7, 2.3}) {
    const double slope = (loss.cost_mm2(e + 1e-6) - loss.cost_mm2(e - 1e-6)) / 2e-6;
    EXPECT_NEAR(slope, 2.0 * e * loss.weight_ratio(e), 1e-6);
  }
}

// Too little to go by is said.
TEST(FitShapes, NothingFromNothing) {
  EXPECT_EQ(fit_line({}).failure().code, "fit.few");
  EXPECT_EQ(fit_line({{1, 1, 1}, {1, 1, 1}}).failure().code, "fit.flat");
  EXPECT_EQ(fit_plane({{0, 0, 0}, {1, 0, 0}, {2, 0, 0}}).failure().code, "fit.flat");
  EXPECT_EQ(fit_circle({{0, 0, 0}, {1, 0, 0}, {2, 0, 0}}).failure().code, "fit.flat");
  EXPECT_EQ(fit_sphere({{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {1, 1, 0}}).failure().code, "fit.flat");
  EXPECT_EQ(fit_cylinder(Points(9, Vec3(1, 2, 3))).failure().code, "fit.flat");
  EXPECT_EQ(fit_torus(Points(9, Vec3(1, 2, 3)), {}).failure().code, "fit.flat");
  EXPECT_EQ(fit_cylinder({{0, 0, 0}, {1, std::nan(""), 0}, {2, 0, 0}, {0, 1, 0}, {0, 0, 1}})
                .failure()
                .code,
            "fit.number");
}

}  // namespace
}  // namespace bight::geometry

#include "geometry/fit_tidy.h"

#include <gtest/gtest.h>

#include <cmath>

#include "geometry/centreline.h"
#include "geometry/scan_maker_test_util.h"

namespace bight::geometry {
namespace {

using base::Angle;

const made::Tube kTube{{{200, 0, 70, 60}, {90, 110, 100, 75}}, 150, 25};

Points points() {
  made::Scan scan;
  scan.num = 8000;
  scan.noise_mm = 0.1;
  scan.placed = false;
  return made::scanned(kTube, scan);
}

TubeAxis axis_with(std::vector<BendRow> rows) {
  TubeAxis axis;
  axis.first_bend.origin_mm = Vec3(200, 0, 0);
  axis.rows = std::move(rows);
  axis.radius_mm = 12.5;
  return axis;
}

AxisFitOptions options() {
  AxisFitOptions out;
  out.first_limit_mm = 3.0;
  out.least_limit_mm = 1e-3;
  return out;
}

TubeFit fit_with(std::vector<BendRow> rows, double last_mm) {
  TubeFit fit{*BendTable::make(rows, last_mm), Frame()};
  fit.u.resize(rows.size());
  for (std::size_t i = 0; i < rows.size(); ++i) {
    fit.u[i] = {0.1 * static_cast<double>(i + 1), Angle::degrees(static_cast<double>(i)),
                Angle::degrees(10.0 + static_cast<double>(i)), 0.05};
  }
  fit.last_straight_u_mm = 0.9;
  return fit;
}

// One bend started as two halves becomes one again, and a kink that is none goes.
TEST(FitTidy, OneBendIsOneBend) {
  const Points cloud = points();
  TubeAxis split = axis_with({{0, Angle(), Angle::degrees(30), 60},
                              {0, Angle(), Angle::degrees(40), 60},
                              {88, Angle::degrees(110), Angle::degrees(100), 75}});
  AxisFit fit = tidied_fit(fit_axis(split, cloud, options()), cloud, options());
  ASSERT_EQ(fit.axis.num_bends(), 2u);
  EXPECT_NEAR(fit.axis.rows[0].angle.deg(), 70, 0.05);
  TubeAxis kinked = axis_with({{0, Angle(), Angle::degrees(70), 60},
                               {40, Angle::degrees(30), Angle::degrees(0.6), 80},
                               {50, Angle::degrees(80), Angle::degrees(100), 75}});
  fit = tidied_fit(fit_axis(kinked, cloud, options()), cloud, options());
  ASSERT_EQ(fit.axis.num_bends(), 2u);
  EXPECT_NEAR(fit.axis.rows[1].rotation.deg(), 110, 0.1);
}

// A bend that the points ask for stays, shallow or not.
TEST(FitTidy, RealShallowBendsStay) {
  made::Scan scan;
  scan.num = 8000;
  scan.noise_mm = 0.1;
  scan.placed = false;
  const Points cloud = made::scanned({{{200, 0, 4, 100}}, 200, 25}, scan);
  AxisFit fit = fit_axis(axis_with({{0, Angle(), Angle::degrees(4), 100}}), cloud, options());
  fit = tidied_fit(fit, cloud, options());
  ASSERT_EQ(fit.axis.num_bends(), 1u);
  const AxisEvidence evidence = refine_on_all(fit, cloud, options());
  EXPECT_FALSE(drop_unproven_bend(fit, evidence.covariance));
}

// A bend whose angle is lost in its own uncertainty is dropped.
TEST(FitTidy, UnprovenBendsGo) {
  AxisFit fit;
  fit.axis = axis_with(
      {{0, Angle(), Angle::degrees(70), 60}, {40, Angle::degrees(30), Angle::degrees(0.2), 80}});
  const auto num = static_cast<Eigen::Index>(columns_of(fit.axis).size());
  Eigen::MatrixXd covariance = Eigen::MatrixXd::Identity(num, num) * 1e-6;
  EXPECT_FALSE(drop_unproven_bend(fit, covariance));
  covariance *= 100.0;
  EXPECT_TRUE(drop_unproven_bend(fit, covariance));
  ASSERT_EQ(fit.axis.num_bends(), 1u);
  EXPECT_NEAR(fit.axis.rows[0].angle.deg(), 70, 1e-9);
}

// The rule for end A: longer end straight, then larger first bend, then the next straight.
TEST(FitTidy, EndA) {
  TubeFit fit = fit_with(
      {{100, Angle(), Angle::degrees(90), 60}, {80, Angle::degrees(30), Angle::degrees(45), 60}},
      120);
  order_ends(fit, false);
  EXPECT_NEAR(fit.table.straight_mm(0), 120, 1e-12);
  EXPECT_FALSE(fit.ends_alike);
  fit = fit_with(
      {{100, Angle(), Angle::degrees(45), 60}, {80, Angle::degrees(30), Angle::degrees(90), 60}},
      100.4);
  order_ends(fit, false);
  EXPECT_NEAR(fit.table.rows()[0].angle.deg(), 90, 1e-9);
  order_ends(fit, true);
  EXPECT_NEAR(fit.table.rows()[0].angle.deg(), 45, 1e-9);
  EXPECT_TRUE(fit.swapped);
}

// Turned round, the tube lies where it lay and every uncertainty stays with its number.
TEST(FitTidy, TurnedRoundItLiesWhereItLay) {
  TubeFit fit = fit_with({{100, Angle(), Angle::degrees(90), 60},
                          {80, Angle::degrees(30), Angle::degrees(45), 70},
                          {50, Angle::degrees(-70), Angle::degrees(20), 80}},
                         120);
  fit.start.origin_mm = Vec3(5, 6, 7);
  fit.hidden_bends = {0};
  const Centreline before = lay_out(fit.table, fit.start);
  order_ends(fit, false);
  const Centreline after = lay_out(fit.table, fit.start);
  EXPECT_NEAR((after.start_mm() - before.end_mm()).norm(), 0.0, 1e-9);
  EXPECT_NEAR((after.end_mm() - before.start_mm()).norm(), 0.0, 1e-9);
  for (double s = 0; s < before.length_mm(); s += 7) {
    EXPECT_NEAR((before.at_mm(s) - after.at_mm(before.length_mm() - s)).norm(), 0.0, 1e-9);
  }
  // Straights as counted from the other end: 120 50 80 100.
  EXPECT_DOUBLE_EQ(fit.u[0].straight_mm, 0.9);
  EXPECT_DOUBLE_EQ(fit.u[1].straight_mm, 0.3);
  EXPECT_DOUBLE_EQ(fit.u[2].straight_mm, 0.2);
  EXPECT_DOUBLE_EQ(fit.last_straight_u_mm, 0.1);
  EXPECT_NEAR(fit.u[1].rotation.deg(), 2.0, 1e-12);
  EXPECT_NEAR(fit.u[2].rotation.deg(), 1.0, 1e-12);
  EXPECT_EQ(fit.hidden_bends, std::vector<std::size_t>({2}));
}

// A radius for all is offered only where no bend contradicts.
TEST(FitTidy, SharedRadius) {
  TubeFit alike = fit_with({{100, Angle(), Angle::degrees(90), 60.02},
                            {80, Angle::degrees(30), Angle::degrees(45), 59.94}},
                           120);
  suggest_shared_radius(alike);
  ASSERT_TRUE(alike.shared_radius_mm.has_value());
  EXPECT_NEAR(*alike.shared_radius_mm, 59.98, 1e-9);
  EXPECT_NEAR(alike.shared_radius_u_mm, 0.05 / std::sqrt(2.0), 1e-9);
  TubeFit apart = fit_with(
      {{100, Angle(), Angle::degrees(90), 60}, {80, Angle::degrees(30), Angle::degrees(45), 61}},
      120);
  suggest_shared_radius(apart);
  EXPECT_FALSE(apart.shared_radius_mm.has_value());
}

}  // namespace
}  // namespace bight::geometry

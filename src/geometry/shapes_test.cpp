#include "geometry/shapes.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>

#include "geometry/shapes_for_tests.h"

namespace bight::geometry {
namespace {

using base::Angle;
using oracle::expect_at;
using oracle::expect_refused;
using oracle::length_named;
using oracle::path_of;
using oracle::reach_mm;

TEST(UShapeTest, TwoBendsAndABottom) {
  const Shape u = *make_u({.width_mm = 300, .leg_a_mm = 200, .leg_b_mm = 150, .radius_mm = 60});
  ASSERT_EQ(u.table.num_bends(), 2u);
  const oracle::Path path = path_of(u);
  expect_at(path.end_mm, 50, 300);  // leg B is 50 shorter
  EXPECT_NEAR(reach_mm(path).x(), 200.0, 1e-4);
  // Legs and bottom to the corners, less one gain a bend: 200 + 300 + 150 - 2 x 0.429204 x 60.
  EXPECT_NEAR(path.length_mm, 598.4956, 1e-4);
}

TEST(UShapeTest, OneBendWhereTheWidthIsTwiceTheRadius) {
  const Shape u = *make_u({.width_mm = 120, .leg_a_mm = 200, .leg_b_mm = 200, .radius_mm = 60});
  ASSERT_EQ(u.table.num_bends(), 1u);
  EXPECT_NEAR(u.table.rows()[0].angle.deg(), 180.0, 1e-12);
  const oracle::Path path = path_of(u);
  expect_at(path.end_mm, 0, 120);
  EXPECT_NEAR(reach_mm(path).x(), 200.0, 1e-4);
}

// The same U, drawn to each face of a 40 mm tube.
TEST(UShapeTest, FacesGiveTheSameCentreline) {
  const Shape centre =
      *make_u({.width_mm = 300, .leg_a_mm = 200, .leg_b_mm = 150, .radius_mm = 60});
  const Shape outside = *make_u({340, 220, 170, 60, {Face::kOutside, 40}});
  const Shape inside = *make_u({260, 180, 130, 60, {Face::kInside, 40}});
  EXPECT_TRUE(outside.table == centre.table);
  EXPECT_TRUE(inside.table == centre.table);
}

TEST(UShapeTest, RefusesWhatDoesNotFit) {
  expect_refused(make_u({80, 200, 200, 60}), "shape.fit", "width",
                 "make the width at least 120.00 mm, or the radius at most 40.00 mm");
  expect_refused(make_u({80, 200, 200, 60, {Face::kOutside, 20}}), "shape.fit", "width",
                 "make the width at least 140.00 mm, or the radius at most 30.00 mm");
  expect_refused(make_u({30, 200, 200, 60, {Face::kOutside, 40}}), "shape.fit", "width",
                 "make the width at least 160.00 mm");
  expect_refused(make_u({300, 59, 200, 60}), "shape.fit", "leg A",
                 "make the leg A at least 60.00 mm");
  expect_refused(make_u({300, 200, 59, 60, {Face::kOutside, 20}}), "shape.fit", "leg B",
                 "make the leg B at least 70.00 mm");
  expect_refused(make_u({0, 200, 200, 60}), "shape.number", "width");
  expect_refused(make_u({300, 200, 200, std::nan("")}), "shape.number", "radius");
  expect_refused(make_u({300, 200, 200, 60, {Face::kLeft, 20}}), "shape.choice", "face");
}

TEST(ArcShapeTest, AnyAngleBelowAFullTurn) {
  for (const double angle_deg : {1.0, 90.0, 180.0, 300.0}) {
    const Shape arc = *make_arc({50, Angle::degrees(angle_deg), 200, 80});
    const double a = angle_deg * 3.14159265358979323846 / 180.0;
    expect_at(path_of(arc).end_mm, 50 + 200 * std::sin(a) + 80 * std::cos(a),
              200 * (1 - std::cos(a)) + 80 * std::sin(a));
  }
  expect_refused(make_arc({50, Angle::degrees(360), 200, 80}), "shape.angle", "angle");
  expect_refused(make_arc({-1, Angle::degrees(90), 200, 80}), "shape.number", "lead");
}

TEST(ArcShapeTest, ArcOverAChord) {
  // 3-4-5: chord 8, rise 2 has radius 5.
  EXPECT_NEAR(arc_over_chord(8, 2)->radius_mm, 5.0, 1e-12);
  // A rise above half the chord is more than a half circle.
  const ChordArc arc = *arc_over_chord(8, 8);
  EXPECT_NEAR(2 * arc.radius_mm * std::sin(arc.angle.rad() / 2), 8.0, 1e-12);
  EXPECT_NEAR(arc.radius_mm * (1 - std::cos(arc.angle.rad() / 2)), 8.0, 1e-12);
  EXPECT_EQ(arc_over_chord(8, 0).failure().code, "shape.number");
}

TEST(KickShapeTest, LiftsTheEnd) {
  const Shape kick = *make_kick({300, 100, Angle::degrees(30), 60});
  const oracle::Path path = path_of(kick);
  expect_at(path.end_mm, 300 + 100 * std::sqrt(3.0), 100);
  EXPECT_NEAR(length_named(kick, "slope"), 200.0, 1e-9);
  expect_refused(make_kick({300, 5, Angle::degrees(30), 60}), "shape.fit", "rise",
                 "make the rise at least 8.04 mm, or the radius at most 37.32 mm");
  expect_refused(make_kick({10, 100, Angle::degrees(30), 60}), "shape.fit", "lead",
                 "make the lead at least 16.08 mm");
  expect_refused(make_kick({10, 100, Angle::degrees(91), 60}), "shape.angle", "angle");
}

TEST(StubUpShapeTest, BothLegsToTheBack) {
  const Shape stub = *make_stub_up(
      {.stub_mm = 254, .far_mm = 900, .radius_mm = 101.6, .od_mm = 17.9, .take_up_mm = 127});
  const oracle::Path path = path_of(stub);
  expect_at(path.end_mm, 254 - 8.95, 900 - 8.95);
  EXPECT_NEAR(length_named(stub, "mark"), 127.0, 1e-12);
  // Legs to the backs less the gain are the blank.
  EXPECT_NEAR(254 + 900 - length_named(stub, "gain"), stub.table.developed_length_mm(), 1e-9);
  expect_refused(make_stub_up({100, 900, 101.6, 17.9, std::nullopt}), "shape.fit", "stub",
                 "make the stub at least 110.55 mm");
  expect_refused(make_stub_up({120, 900, 101.6, 17.9, 127}), "shape.fit", "stub",
                 "make the stub at least 127.00 mm");
}

TEST(BackToBackShapeTest, EverythingToTheBacks) {
  const BackToBackShape dims{1000, 300, 250, 101.6, 17.9};
  const Shape shape = *make_back_to_back(dims);
  const oracle::Path path = path_of(shape);
  expect_at(path.end_mm, 50, 1000 - 17.9);
  EXPECT_NEAR(length_named(shape, "cut length"), 1000 + 300 + 250 - 2 * (0.42920367 * 101.6 + 17.9),
              1e-5);
  EXPECT_NEAR(path.length_mm, length_named(shape, "cut length"), 1e-4);
  expect_refused(make_back_to_back({200, 300, 250, 101.6, 17.9}), "shape.fit", "back to back",
                 "make the back to back at least 221.10 mm");
}

}  // namespace
}  // namespace bight::geometry

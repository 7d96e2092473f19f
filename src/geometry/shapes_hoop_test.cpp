#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>

#include "geometry/shapes.h"
#include "geometry/shapes_for_tests.h"

namespace bight::geometry {
namespace {

using base::Angle;
using oracle::expect_at;
using oracle::expect_refused;
using oracle::path_of;
using oracle::reach_mm;
using oracle::suggested_mm;

TEST(HoopShapeTest, FourBendsLeaningIn) {
  const Shape hoop = *make_hoop(
      {.base_mm = 1200, .top_mm = 800, .height_mm = 1100, .upright_mm = 600, .radius_mm = 150});
  ASSERT_EQ(hoop.table.num_bends(), 4u);
  const oracle::Path path = path_of(hoop);
  expect_at(path.end_mm, 0, 1200);
  EXPECT_NEAR(reach_mm(path).x(), 1100.0, 1e-3);
  expect_at(path.end_direction, -1, 0);
  EXPECT_NEAR(hoop.table.total_bend().deg(), 180.0, 1e-9);
}

TEST(HoopShapeTest, FourBendsLeaningOut) {
  const Shape hoop = *make_hoop(
      {.base_mm = 800, .top_mm = 1200, .height_mm = 1100, .upright_mm = 500, .radius_mm = 100});
  const oracle::Path path = path_of(hoop);
  expect_at(path.end_mm, 0, 800);
  EXPECT_NEAR(reach_mm(path).x(), 1100.0, 1e-3);
  expect_at(path.end_direction, -1, 0);
}

TEST(HoopShapeTest, TwoBendsWithoutALeanOrWithoutAnUpright) {
  const Shape square = *make_hoop({1000, 1000, 900, 400, 120});
  ASSERT_EQ(square.table.num_bends(), 2u);
  expect_at(path_of(square).end_mm, 0, 1000);
  EXPECT_NEAR(reach_mm(path_of(square)).x(), 900.0, 1e-3);
  for (const double top_mm : {700.0, 1300.0}) {
    const Shape leaning = *make_hoop({1000, top_mm, 900, 0, 120});
    ASSERT_EQ(leaning.table.num_bends(), 2u);
    const oracle::Path path = path_of(leaning);
    expect_at(path.end_mm, 0, 1000);
    EXPECT_NEAR(reach_mm(path).x(), 900.0, 1e-3);
  }
}

// Drawn to the outside: the centreline lies half a tube within the drawing, on every side.
TEST(HoopShapeTest, FacesMoveEverySide) {
  for (const double top_mm : {800.0, 1500.0}) {
    const HoopShape drawn{1200, top_mm, 1100, 600, 80, {Face::kOutside, 50}};
    const Shape hoop = *make_hoop(drawn);
    const oracle::Path path = path_of(hoop);
    expect_at(path.end_mm, 0, 1150);
    EXPECT_NEAR(reach_mm(path).x(), 1075.0, 1e-3);
    // The slope's centreline: 25 mm from the line through the drawn corners (600, -25) and
    // (1100, (1200 - top) / 2 - 25).
    const Vec3 low(600, -25, 0);
    const Vec3 slope = (Vec3(1100, (1200 - top_mm) / 2 - 25, 0) - low).normalized();
    EXPECT_NEAR(slope.cross(path.joints_mm[3] - low).norm(), 25.0, 1e-9);
    EXPECT_NEAR(slope.cross(path.joints_mm[2] - low).norm(), 25.0, 1e-9);
  }
}

TEST(HoopShapeTest, RefusesWhatDoesNotFit) {
  expect_refused(make_hoop({1000, 1000, 900, 900, 120}), "shape.fit", "upright",
                 "make the upright at most 450.00 mm");
  const auto tight = make_hoop({1200, 800, 1100, 600, 700});
  expect_refused(tight, "shape.fit", "radius");
  // The suggested radius fits; a hair more does not.
  const double largest_mm = suggested_mm(tight);
  EXPECT_TRUE(make_hoop({1200, 800, 1100, 600, largest_mm}).ok()) << tight.failure().remedy;
  EXPECT_FALSE(make_hoop({1200, 800, 1100, 600, largest_mm + 0.011}).ok());
  const auto thick = make_hoop({300, 100, 300, 20, 10, {Face::kOutside, 280}});
  expect_refused(thick, "shape.fit", "size");
  const double size_mm = suggested_mm(thick);
  EXPECT_TRUE(make_hoop({300, 100, 300, 20, 10, {Face::kOutside, size_mm}}).ok());
  EXPECT_FALSE(make_hoop({300, 100, 300, 20, 10, {Face::kOutside, size_mm + 0.02}}).ok());
  // Hardly any upright: no tube fits, so it must go.
  expect_refused(make_hoop({300, 100, 300, 0.001, 10, {Face::kOutside, 50}}), "shape.fit",
                 "upright", "make the upright at most 0.00 mm");
}

}  // namespace
}  // namespace bight::geometry

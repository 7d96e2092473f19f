#include "reader/fit.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <numbers>
#include <random>

namespace bight::reader {
namespace {

// A free-form face sampled on a patch of a torus or (major 0) cylinder in general position, with
// an error of the given size along the normal.
ScanFace patch(double major_mm, double minor_mm, double along, double round_from, double round_to,
               double error_mm) {
  const Eigen::Matrix3d turn =
      (Eigen::AngleAxisd(0.7, Vec3(1, 2, 3).normalized()) * Eigen::AngleAxisd(1.9, Vec3::UnitX()))
          .toRotationMatrix();
  std::mt19937 random(5);
  std::uniform_real_distribution<double> spread(-error_mm, error_mm);
  ScanFace face;
  face.columns = 17;
  face.rows = 15;
  for (std::size_t row = 0; row < face.rows; ++row) {
    for (std::size_t column = 0; column < face.columns; ++column) {
      const double t = along * static_cast<double>(column) / 16.0;
      const double v = std::lerp(round_from, round_to, static_cast<double>(row) / 14.0);
      Vec3 p;
      Vec3 n;
      if (major_mm > 0.0) {
        n = {std::cos(v) * std::cos(t), std::cos(v) * std::sin(t), std::sin(v)};
        p = Vec3(std::cos(t), std::sin(t), 0) * major_mm + n * minor_mm;
      } else {
        n = {std::cos(v), std::sin(v), 0};
        p = n * minor_mm + Vec3(0, 0, t);
      }
      face.grid.push_back({turn * (p + n * spread(random)) + Vec3(100, -20, 7), turn * n});
    }
  }
  return face;
}

Scan only(ScanFace face) {
  Scan scan;
  scan.faces.push_back(std::move(face));
  return scan;
}

// Exact samples give the exact radii back, for whole and partial cylinders.
TEST(Fit, FindsCylinders) {
  for (const double round_to : {0.5, 1.57, 3.14, 6.28}) {
    Scan scan = only(patch(0, 12.5, 80, 0, round_to, 0));
    recognise_free_faces(scan);
    ASSERT_EQ(scan.faces[0].kind, SurfaceKind::kCylinder) << round_to;
    EXPECT_NEAR(scan.faces[0].radius_mm, 12.5, 1e-7);
    EXPECT_TRUE(scan.faces[0].fitted);
  }
}

// Tori: slender and stout, whole and quarter sections.
TEST(Fit, FindsTori) {
  for (const double major_mm : {20.0, 60.0, 400.0}) {
    for (const double round_to : {1.57, 6.28}) {
      Scan scan = only(patch(major_mm, 12.5, 1.2, 0.1, round_to, 0));
      recognise_free_faces(scan);
      ASSERT_EQ(scan.faces[0].kind, SurfaceKind::kTorus) << major_mm << " " << round_to;
      EXPECT_NEAR(scan.faces[0].radius_mm, major_mm, 1e-6);
      EXPECT_NEAR(scan.faces[0].minor_mm, 12.5, 1e-7);
    }
  }
}

// An approximated surface within tolerance still counts; one beyond it stays free-form.
TEST(Fit, ToleranceDecides) {
  Scan near = only(patch(60, 12.5, 1.2, 0, 6.28, 0.004));
  recognise_free_faces(near);
  ASSERT_EQ(near.faces[0].kind, SurfaceKind::kTorus);
  EXPECT_NEAR(near.faces[0].radius_mm, 60.0, 0.005);
  Scan far = only(patch(60, 12.5, 1.2, 0, 6.28, 0.2));
  recognise_free_faces(far);
  EXPECT_EQ(far.faces[0].kind, SurfaceKind::kFree);
}

// A flat free-form face is a plane; an egg is none of the three.
TEST(Fit, PlaneAndOther) {
  Scan flat = only(patch(0, 12.5, 80, 0, 6.28, 0));
  for (Sample& sample : flat.faces[0].grid) sample = {{sample.point_mm.x(), 3, 4}, Vec3::UnitY()};
  flat.faces[0].grid[3].point_mm.z() = 9;
  recognise_free_faces(flat);
  EXPECT_EQ(flat.faces[0].kind, SurfaceKind::kPlane);
  Scan egg = only(patch(0, 12.5, 80, 0, 6.28, 0));
  for (Sample& sample : egg.faces[0].grid) sample.point_mm.x() *= 1.4;
  recognise_free_faces(egg);
  EXPECT_EQ(egg.faces[0].kind, SurfaceKind::kFree);
}

// A circle in space, from all of it and from a short piece; none through points in line.
TEST(Fit, CircleInSpace) {
  const Vec3 axis = Vec3(1, -2, 0.5).normalized();
  const Vec3 e1 = axis.unitOrthogonal();
  const Vec3 e2 = axis.cross(e1);
  for (const double sweep : {0.2, 1.0, 6.0}) {
    std::vector<Vec3> points;
    for (int i = 0; i <= 20; ++i) {
      const double t = sweep * i / 20;
      points.push_back(Vec3(5, 6, 7) + 40 * (e1 * std::cos(t) + e2 * std::sin(t)));
    }
    const auto circle = fit_circle(points);
    ASSERT_TRUE(circle.has_value());
    EXPECT_NEAR(circle->radius_mm, 40, 1e-8);
    EXPECT_LT((circle->centre_mm - Vec3(5, 6, 7)).norm(), 1e-8);
    EXPECT_NEAR(std::abs(circle->axis.dot(axis)), 1.0, 1e-10);
    EXPECT_LT(circle->residual_mm, 1e-9);
  }
  EXPECT_FALSE(fit_circle({{0, 0, 0}, {1, 1, 1}, {2, 2, 2}, {3, 3, 3}}).has_value());
  EXPECT_FALSE(fit_circle({{0, 0, 0}, {1, 0, 0}}).has_value());
}

}  // namespace
}  // namespace bight::reader

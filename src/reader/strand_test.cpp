#include "reader/strand.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace bight::reader {
namespace {

constexpr double kPi = std::numbers::pi;

// A piece of a cylinder about the X axis, from x to x and round from angle to angle, with its four
// edges.
void add_cylinder(Scan& scan, double radius_mm, double from_mm, double to_mm, double round_from,
                  double round_to, bool outer = true) {
  ScanFace face;
  face.kind = SurfaceKind::kCylinder;
  face.axis = Vec3::UnitX();
  face.radius_mm = radius_mm;
  face.columns = 9;
  face.rows = 3;
  face.regular = true;
  const auto at = [&](double x, double angle) {
    return Vec3(x, radius_mm * std::cos(angle), radius_mm * std::sin(angle));
  };
  for (int row = 0; row < 3; ++row) {
    for (int column = 0; column < 9; ++column) {
      const Vec3 p =
          at(std::lerp(from_mm, to_mm, row / 2.0), std::lerp(round_from, round_to, column / 8.0));
      face.grid.push_back({p, Vec3(0, p.y(), p.z()).normalized() * (outer ? 1.0 : -1.0)});
    }
  }
  for (const double x : {from_mm, to_mm}) {
    ScanEdge edge{CurveKind::kCircle, {}, {scan.faces.size()}};
    for (int i = 0; i <= 12; ++i) {
      edge.points_mm.push_back(at(x, std::lerp(round_from, round_to, i / 12.0)));
    }
    face.edges.push_back(scan.edges.size());
    scan.edges.push_back(edge);
  }
  scan.faces.push_back(face);
  if (scan.bodies.empty()) scan.bodies.push_back({"", true, {}});
  scan.bodies[0].faces.push_back(scan.faces.size() - 1);
}

// Halves and lengths of one cylinder are one strand that goes all the way round.
TEST(Strand, PiecesOfOneSurfaceUnite) {
  Scan scan;
  add_cylinder(scan, 10, 0, 50, 0, kPi);
  add_cylinder(scan, 10, 0, 50, kPi, 2 * kPi);
  add_cylinder(scan, 10, 50, 80, 0, 2 * kPi);
  const auto strands = strands_of(scan);
  ASSERT_EQ(strands.size(), 1U);
  EXPECT_NEAR(strands[0].length_mm(), 80, 1e-12);
  EXPECT_NEAR(strands[0].coverage.deg(), 360, 1e-6);
  EXPECT_TRUE(strands[0].convex);
  EXPECT_EQ(strands[0].faces.size(), 3U);
}

// A gap, another radius and the other side of the wall are strands of their own.
TEST(Strand, DifferentSurfacesStayApart) {
  Scan scan;
  add_cylinder(scan, 10, 0, 50, 0, 2 * kPi);
  add_cylinder(scan, 10, 51, 80, 0, 2 * kPi);
  add_cylinder(scan, 8, 0, 50, 0, 2 * kPi, false);
  add_cylinder(scan, 10, 0, 50, 0, 2 * kPi, false);
  const auto strands = strands_of(scan);
  EXPECT_EQ(strands.size(), 4U);
  int concave = 0;
  for (const Strand& strand : strands) concave += !strand.convex;
  EXPECT_EQ(concave, 2);
}

// Coverage counts what is there, once.
TEST(Strand, CoverageIsWhatIsThere) {
  Scan scan;
  add_cylinder(scan, 10, 0, 50, 0.5, 1.5);
  add_cylinder(scan, 10, 0, 50, 1.0, 2.0);
  const auto strands = strands_of(scan);
  ASSERT_EQ(strands.size(), 1U);
  EXPECT_NEAR(strands[0].coverage.rad(), 1.5, 1e-9);
}

// The tolerance follows the file's own uncertainty, within reason.
TEST(Strand, ToleranceFollowsTheFile) {
  Scan scan;
  EXPECT_EQ(joint_tolerance_mm(scan), kSame_mm);
  scan.uncertainty_mm = 0.005;
  EXPECT_NEAR(joint_tolerance_mm(scan), 0.05, 1e-12);
  scan.uncertainty_mm = 25.4;
  EXPECT_NEAR(joint_tolerance_mm(scan), 0.1, 1e-12);
}

}  // namespace
}  // namespace bight::reader

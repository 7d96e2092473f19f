#include "reader/long_face.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "reader/fit.h"

namespace bight::reader {
namespace {

// A skin of radius 10 along 60 of straight, a quarter circle of 40 and 30 of straight, sampled in
// rings; the wave moves it off the chain when it is not 0.
ScanFace skin(double wave_mm) {
  ScanFace face;
  face.columns = 13;
  const double arc_mm = 40 * std::numbers::pi / 2;
  const double whole_mm = 60 + arc_mm + 30;
  constexpr std::size_t kRings = 49;
  for (std::size_t ring = 0; ring < kRings; ++ring) {
    const double s = whole_mm * static_cast<double>(ring) / (kRings - 1);
    Vec3 centre;
    Vec3 side;
    if (s < 60) {
      centre = {s, 0, 0};
      side = Vec3::UnitY();
    } else if (s < 60 + arc_mm) {
      const double turn = (s - 60) / 40;
      centre = {60 + 40 * std::sin(turn), 40 - 40 * std::cos(turn), 0};
      side = {-std::sin(turn), std::cos(turn), 0};
    } else {
      centre = {100, 40 + (s - 60 - arc_mm), 0};
      side = -Vec3::UnitX();
    }
    centre.z() += wave_mm * std::sin(0.35 * s);
    for (std::size_t i = 0; i < face.columns; ++i) {
      const double round = 2 * std::numbers::pi * static_cast<double>(i) / 12;
      const Vec3 n = side * std::cos(round) + Vec3::UnitZ() * std::sin(round);
      face.grid.push_back({centre + 10 * n, n});
    }
  }
  face.rows = kRings;
  return face;
}

Scan with_rims(ScanFace face) {
  Scan scan;
  ScanEdge first;
  ScanEdge last;
  ScanEdge seam;
  for (std::size_t i = 0; i < face.columns; ++i) {
    first.points_mm.push_back(face.at(i, 0).point_mm);
    last.points_mm.push_back(face.at(i, face.rows - 1).point_mm);
  }
  for (std::size_t ring = 0; ring < face.rows; ++ring) {
    seam.points_mm.push_back(face.at(0, ring).point_mm);
  }
  for (ScanEdge* edge : {&first, &last, &seam}) {
    edge->faces = {0};
    scan.edges.push_back(*edge);
  }
  face.edges = {0, 1, 2};
  scan.faces.push_back(std::move(face));
  scan.bodies.push_back({"", true, {0}});
  return scan;
}

// One face becomes straight, arc, straight; each keeps its own rim, neighbours share a ring, and
// the seam that runs along all of them goes.
TEST(LongFace, FallsIntoStraightsAndArcs) {
  Scan scan = with_rims(skin(0));
  split_long_faces(scan);
  ASSERT_EQ(scan.faces.size(), 3U);
  EXPECT_EQ(scan.faces[0].kind, SurfaceKind::kCylinder);
  EXPECT_EQ(scan.faces[1].kind, SurfaceKind::kTorus);
  EXPECT_EQ(scan.faces[2].kind, SurfaceKind::kCylinder);
  EXPECT_NEAR(scan.faces[1].radius_mm, 40, 1e-6);
  EXPECT_NEAR(scan.faces[1].minor_mm, 10, 1e-6);
  EXPECT_EQ(scan.bodies[0].faces.size(), 3U);
  ASSERT_EQ(scan.edges.size(), 5U);
  EXPECT_TRUE(scan.edges[2].faces.empty());
  EXPECT_EQ(scan.edges[3].faces, (std::vector<std::size_t>{0, 1}));
  EXPECT_EQ(scan.edges[4].faces, (std::vector<std::size_t>{1, 2}));
  // The first ring lies in the plane x = 60, where the bend begins.
  for (const Vec3& p : scan.edges[3].points_mm) {
    EXPECT_NEAR(p.x(), 60, 1e-6);
    EXPECT_NEAR(std::hypot(p.y(), p.z()), 10, 1e-6);
  }
}

// A skin that waves is no chain of straights and arcs.
TEST(LongFace, LeavesWavesAlone) {
  Scan scan = with_rims(skin(0.5));
  split_long_faces(scan);
  ASSERT_EQ(scan.faces.size(), 1U);
  EXPECT_EQ(scan.faces[0].kind, SurfaceKind::kFree);
}

}  // namespace
}  // namespace bight::reader

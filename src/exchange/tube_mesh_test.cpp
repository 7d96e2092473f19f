#include "exchange/tube_mesh.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <map>
#include <numbers>

#include "exchange/sample_lines_test_util.h"

namespace bight::exchange {
namespace {

using geometry::BendTable;
using geometry::Vec3;
using stock::Section;

// Divergence theorem: a sixth of the triple products.
double volume_mm3(const TubeMesh& mesh) {
  double sixfold = 0.0;
  for (const auto& t : mesh.triangles) {
    sixfold += mesh.points_mm[t[0]].dot(mesh.points_mm[t[1]].cross(mesh.points_mm[t[2]]));
  }
  return sixfold / 6.0;
}

// Every edge is used once in each direction, points counted by place: the skin is closed.
bool closed(const TubeMesh& mesh) {
  const auto key = [&](std::uint32_t i) {
    const Vec3& p = mesh.points_mm[i];
    return std::array<long, 3>{std::lround(p.x() * 1e6), std::lround(p.y() * 1e6),
                               std::lround(p.z() * 1e6)};
  };
  std::map<std::array<std::array<long, 3>, 2>, int> edges;
  for (const auto& t : mesh.triangles) {
    for (int k = 0; k < 3; ++k) {
      const auto a = key(t[static_cast<std::size_t>(k)]);
      const auto b = key(t[static_cast<std::size_t>((k + 1) % 3)]);
      ++edges[{a, b}];
      --edges[{b, a}];
    }
  }
  for (const auto& [edge, balance] : edges) {
    if (balance != 0) return false;
  }
  return true;
}

BendTable u_bend() {
  return *BendTable::make({{200, base::Angle(), base::Angle::degrees(90), 60},
                           {100, base::Angle::degrees(90), base::Angle::degrees(45), 80}},
                          150);
}

// Volume of a round tube against pi/4 (D^2 - d^2) L, Pappus's second theorem: the triangles fall
// short by no more than the polygon and the chords along the arcs do.
TEST(TubeMesh, RoundTubeHasItsVolume) {
  for (const double tolerance_mm : {0.5, 0.05, 0.005}) {
    const auto mesh =
        tube_mesh(u_bend(), geometry::Frame(), *Section::round_tube(30, 2), {tolerance_mm});
    ASSERT_TRUE(mesh.ok()) << mesh.failure().text();
    const double exact_mm3 =
        std::numbers::pi / 4 * (30.0 * 30.0 - 26.0 * 26.0) * u_bend().developed_length_mm();
    // Sagitta s of a circle of radius r leaves 4/3 s/r of its area out, to first order; of an arc
    // step the same share of its length.
    const double short_ratio = 4.0 / 3.0 * (tolerance_mm / 15.0 + tolerance_mm / 75.0);
    EXPECT_LT(volume_mm3(*mesh), exact_mm3);
    EXPECT_GT(volume_mm3(*mesh), exact_mm3 * (1.0 - 1.05 * short_ratio));
    EXPECT_TRUE(closed(*mesh));
  }
}

// Flat-sided sections straight: exact but for the corners' roundness; sharp bars exact.
TEST(TubeMesh, StraightSectionsHaveTheirVolume) {
  const BendTable straight = *BendTable::make({}, 500);
  const auto bar = tube_mesh(straight, geometry::Frame(), *Section::rect_bar(40, 10));
  EXPECT_NEAR(volume_mm3(*bar), 40.0 * 10.0 * 500.0, 1e-6);
  EXPECT_TRUE(closed(*bar));
  const Section box = *Section::rect_tube(60, 40, 3, 6);
  const auto tube = tube_mesh(straight, geometry::Frame(), box, {0.002});
  EXPECT_NEAR(volume_mm3(*tube) / (box.area_mm2() * 500.0), 1.0, 1e-3);
  EXPECT_TRUE(closed(*tube));
  const auto sharp = tube_mesh(straight, geometry::Frame(), *Section::rect_tube(60, 40, 3, 0));
  EXPECT_NEAR(volume_mm3(*sharp), (60.0 * 40.0 - 54.0 * 34.0) * 500.0, 1e-6);
  EXPECT_TRUE(closed(*sharp));
  const auto round = tube_mesh(straight, geometry::Frame(), *Section::round_bar(20), {0.002});
  EXPECT_NEAR(volume_mm3(*round) / (std::numbers::pi * 100.0 * 500.0), 1.0, 1e-3);
}

// Normals are of length one and face the way their triangles do.
TEST(TubeMesh, NormalsFaceOutwards) {
  const auto mesh = tube_mesh(u_bend(), geometry::Frame(), *Section::rect_tube(30, 20, 2, 4));
  ASSERT_TRUE(mesh.ok());
  for (const auto& t : mesh->triangles) {
    const Vec3& a = mesh->points_mm[t[0]];
    const Vec3 facing = (mesh->points_mm[t[1]] - a).cross(mesh->points_mm[t[2]] - a).normalized();
    for (const std::uint32_t i : t) {
      ASSERT_NEAR(mesh->normals[i].norm(), 1.0, 1e-9);
      ASSERT_GT(mesh->normals[i].dot(facing), 0.5);
    }
  }
}

// Whatever the part, its skin is closed and within the tube's reach of the centreline's length.
RC_GTEST_PROP(TubeMeshProperty, AlwaysClosed, ()) {
  BendTable table = *sample::any_table();
  const double od_mm = *rc::gen::inRange(10, 19);
  const auto mesh = tube_mesh(table, geometry::Frame(), *Section::round_tube(od_mm, 1), {0.3});
  RC_PRE(mesh.ok());
  RC_ASSERT(closed(*mesh));
  const double exact_mm3 = std::numbers::pi * (od_mm - 1) * table.developed_length_mm();
  RC_ASSERT(volume_mm3(*mesh) <= exact_mm3 * (1 + 1e-9));
  RC_ASSERT(volume_mm3(*mesh) > exact_mm3 * 0.85);
}

TEST(TubeMesh, RefusesWhatCannotBeDrawn) {
  const Section tube = *Section::round_tube(30, 2);
  const auto code = [&](const BendTable& table, double tolerance_mm) {
    const auto mesh = tube_mesh(table, geometry::Frame(), tube, {tolerance_mm});
    return mesh.ok() ? "" : mesh.failure().code;
  };
  EXPECT_EQ(code(u_bend(), 0.0), "mesh.tolerance");
  EXPECT_EQ(code(u_bend(), NAN), "mesh.tolerance");
  EXPECT_EQ(code(*BendTable::make({{-5, base::Angle(), base::Angle::degrees(90), 60}}, 10), 0.1),
            "mesh.overlap");
  EXPECT_EQ(code(*BendTable::make({{5, base::Angle(), base::Angle::degrees(90), 15}}, 10), 0.1),
            "mesh.radius");
  std::vector<geometry::BendRow> coil(300, {10, base::Angle(), base::Angle::degrees(350), 5000});
  EXPECT_EQ(code(*BendTable::make(coil, 10), 0.001), "mesh.fine");
}

}  // namespace
}  // namespace bight::exchange

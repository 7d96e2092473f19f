#include "geometry/fit_surface.h"

#include <gtest/gtest.h>

#include <cmath>
#include <set>

#include "geometry/scan_maker_test_util.h"

namespace bight::geometry {
namespace {

made::Tube straight_tube() { return {{}, 300, 25}; }

// One point a cell: no two kept points share one, and the number comes out near the wish.
TEST(FitSurface, ThinningLeavesOnePointACell) {
  made::Scan scan;
  scan.num = 20000;
  scan.placed = false;
  const Points points = made::scanned(straight_tube(), scan);
  double edge_mm = 0.0;
  const Points thin = thinned(points, 5000, edge_mm);
  EXPECT_GT(thin.size(), 3500u);
  EXPECT_LT(thin.size(), 6500u);
  Vec3 low = points[0];
  for (const Vec3& p : points) low = low.cwiseMin(p);
  std::set<std::array<long, 3>> cells;
  for (const Vec3& p : thin) {
    const Vec3 at = (p - low) / edge_mm;
    cells.insert({std::lround(std::floor(at.x())), std::lround(std::floor(at.y())),
                  std::lround(std::floor(at.z()))});
  }
  EXPECT_EQ(cells.size(), thin.size());
}

// Few points are all kept, drawing takes one of each run of the file, the same on every call.
TEST(FitSurface, DrawingIsRepeatable) {
  Points points;
  for (int i = 0; i < 1000; ++i) points.emplace_back(i, 0, 0);
  Shuffler a(7);
  Shuffler b(7);
  const Points first = drawn_evenly(points, 100, a);
  EXPECT_EQ(first, drawn_evenly(points, 100, b));
  for (std::size_t i = 0; i < first.size(); ++i) EXPECT_EQ(std::floor(first[i].x() / 10.0), i);
  EXPECT_EQ(drawn_evenly(points, 5000, a), points);
  double edge_mm = 0.0;
  EXPECT_EQ(thinned(points, 5000, edge_mm), points);
  EXPECT_GT(edge_mm, 0.0);
}

// The generator's published first numbers for the seed 1234567 (S. Vigna's splitmix64.c, public
// domain; the numbers from memory, as printed in common test suites).
TEST(FitSurfaceReference, Shuffler) {
  Shuffler shuffler(1234567);
  EXPECT_EQ(shuffler.bits(), 6457827717110365317ULL);
  EXPECT_EQ(shuffler.bits(), 3203168211198807973ULL);
}

// Normals of a clean cylinder point to its axis to a degree or two, and the noise is found.
TEST(FitSurface, NormalsPointToTheAxis) {
  made::Scan scan;
  scan.num = 8000;
  scan.placed = false;
  scan.noise_mm = 0.0;
  const Surface clean = surface_of(made::scanned(straight_tube(), scan), 1.0);
  double worst_ratio = 1.0;
  for (std::size_t i = 0; i < clean.points_mm.size(); ++i) {
    const Vec3& p = clean.points_mm[i];
    if (p.x() < 10 || p.x() > 290) continue;
    worst_ratio =
        std::min(worst_ratio, std::abs(clean.normals[i].dot(Vec3(0, p.y(), p.z()).normalized())));
  }
  EXPECT_GT(worst_ratio, std::cos(10.0 * made::kPi / 180.0));
  scan.noise_mm = 0.3;
  EXPECT_NEAR(surface_of(made::scanned(straight_tube(), scan), 1.0).noise_mm, 0.3, 0.1);
}

}  // namespace
}  // namespace bight::geometry

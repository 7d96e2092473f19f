#include "geometry/fit_girth.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "geometry/scan_maker_test_util.h"

namespace bight::geometry {
namespace {

Surface surface(const Points& points, std::size_t wanted = 20000) {
  double edge_mm = 0.0;
  Points thin = thinned(points, wanted, edge_mm);
  return surface_of(std::move(thin), edge_mm);
}

std::string code_of(const Points& points) {
  const base::Status status = check_is_no_simple_shape(surface(points));
  return status.ok() ? "" : status.failure().code;
}

// The tube's radius is the first choice, whole or a quarter of it seen, with bends.
TEST(FitGirth, FindsTheRadius) {
  for (const double half_deg : {180.0, 60.0, 45.0}) {
    for (const double od_mm : {12.0, 25.0, 60.3}) {
      made::Scan scan;
      scan.num = 8000;
      scan.half_girth_deg = half_deg;
      scan.view_follows = true;
      const made::Tube tube{{{180, 0, 70, 3 * od_mm}}, 200, od_mm};
      Shuffler shuffler(1);
      const std::vector<Girth> found = girths(surface(made::scanned(tube, scan)), shuffler);
      ASSERT_FALSE(found.empty());
      EXPECT_NEAR(2 * found[0].radius_mm / od_mm, 1.0, 0.08) << od_mm << " " << half_deg;
    }
  }
}

// A table below the tube is set aside; strips along a tube of which little is seen are not.
TEST(FitGirth, FlatThingsAreToldFromStrips) {
  made::Scan scan;
  scan.num = 30000;
  scan.table_points = 30000;
  const made::Tube tube{{{200, 0, 90, 60}}, 200, 25};
  Shuffler shuffler(1);
  const Surface with_table = surface(made::scanned(tube, scan));
  const std::vector<FlatPatch> patches = flat_patches(with_table, shuffler);
  ASSERT_EQ(patches.size(), 1u);
  EXPECT_GT(patches[0].share_ratio, 0.4);
  scan.table_points = 0;
  for (const double half_deg : {180.0, 60.0, 45.0}) {
    scan.half_girth_deg = half_deg;
    scan.view_follows = true;
    EXPECT_TRUE(flat_patches(surface(made::scanned(tube, scan)), shuffler).empty()) << half_deg;
    EXPECT_TRUE(flat_patches(surface(made::scanned({{}, 400, 25}, scan)), shuffler).empty());
  }
}

// Clouds that are no tube are named for what they are.
TEST(FitGirth, NonsenseIsNamed) {
  std::mt19937_64 random(2);
  std::normal_distribution<double> normal;
  Points sphere;
  Points plane;
  Points line;
  for (int i = 0; i < 4000; ++i) {
    const Vec3 d(normal(random), normal(random), normal(random));
    sphere.push_back(Vec3(5, 6, 7) + 20.0 * d.normalized());
    plane.emplace_back(50 * d.x(), 30 * d.y(), 3.0);
    line.push_back(Vec3(1, 2, 3) + Vec3(3, 4, 5) * d.x());
  }
  EXPECT_EQ(code_of({}), "scan.points");
  EXPECT_EQ(code_of(Points(40, Vec3(1, 2, 3))), "scan.points");
  EXPECT_EQ(code_of(Points(400, Vec3(1, 2, 3))), "scan.one-place");
  EXPECT_EQ(code_of(line), "scan.line");
  EXPECT_EQ(code_of(plane), "scan.plane");
  EXPECT_EQ(code_of(sphere), "scan.sphere");
  made::Scan scan;
  EXPECT_EQ(code_of(made::scanned({{{200, 0, 60, 1500}}, 200, 42.4}, scan)), "");
}

}  // namespace
}  // namespace bight::geometry

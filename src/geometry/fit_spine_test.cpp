#include "geometry/fit_spine.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "geometry/scan_maker_test_util.h"

namespace bight::geometry {
namespace {

const made::Tube kTube{{{150, 0, 40, 60}, {70, 170, 50, 90}, {120, -40, 75, 60}}, 150, 22};

// Distance from the tube's true centreline, walked in small steps by the generator's own code.
double off_mm(const made::Tube& tube, const Vec3& p) {
  const double length = made::length_of(tube);
  double least = 1e9;
  for (int i = 0; i <= 4000; ++i) {
    const made::Place at = made::place_at(tube, length * i / 4000);
    least = std::min(least, (Vec3(at.p[0], at.p[1], at.p[2]) - p).norm());
  }
  return least;
}

SpineSearch search(const made::Scan& scan, double radius_mm = 11.0) {
  double edge_mm = 0.0;
  Points thin = thinned(made::scanned(kTube, scan), 30000, edge_mm);
  const Surface surface = surface_of(std::move(thin), edge_mm);
  Shuffler shuffler(1);
  return find_spine(surface, radius_mm, shuffler);
}

made::Scan plain() {
  made::Scan scan;
  scan.num = 20000;
  scan.placed = false;
  return scan;
}

// One run, on the centreline to half the scan's noise, over all but the ends.
TEST(FitSpine, FollowsTheCentreline) {
  const SpineSearch found = search(plain());
  ASSERT_EQ(found.pieces.size(), 1u);
  EXPECT_EQ(found.num_other_runs, 0u);
  for (const Vec3& p : found.pieces[0].points_mm) EXPECT_LT(off_mm(kTube, p), 0.3);
  EXPECT_GT(found.seen_length_mm, made::length_of(kTube) - 3 * 22);
  EXPECT_LT(found.pieces[0].noise_mm, 0.1);
}

// A quarter of the girth is enough, and does not start a second run on the patches' false side.
TEST(FitSpine, AQuarterOfTheGirth) {
  made::Scan scan = plain();
  scan.half_girth_deg = 45;
  scan.view_follows = true;
  const SpineSearch found = search(scan);
  ASSERT_EQ(found.pieces.size(), 1u);
  EXPECT_EQ(found.num_other_runs, 0u);
  for (const Vec3& p : found.pieces[0].points_mm) EXPECT_LT(off_mm(kTube, p), 0.6);
}

// A hole inside a straight is stepped over, one that hides a bend leaves two runs in order.
TEST(FitSpine, Holes) {
  made::Scan scan = plain();
  scan.holes_mm = {{60, 110}};
  EXPECT_EQ(search(scan).pieces.size(), 1u);
  scan.holes_mm = {{380, 500}};
  const SpineSearch split = search(scan);
  ASSERT_GE(split.holes_mm.size(), 1u);
  double length_mm = 0.0;
  for (const Spine& piece : split.pieces) length_mm += piece.length_mm();
  EXPECT_NEAR(length_mm, split.seen_length_mm, 1e-9);
  // In order: the ends of consecutive runs are the nearest ones.
  for (std::size_t i = 1; i < split.pieces.size(); ++i) {
    const Vec3 gap = split.pieces[i].points_mm.front() - split.pieces[i - 1].points_mm.back();
    EXPECT_LT(gap.norm(), 160.0);
  }
}

// A plate has no spine.
TEST(FitSpine, NothingInAPlate) {
  Points plate;
  for (int i = 0; i < 100; ++i) {
    for (int k = 0; k < 100; ++k)
      plate.emplace_back(2.0 * i, 2.0 * k, 0.05 * ((i * 7 + k * 3) % 5));
  }
  const Surface surface = surface_of(std::move(plate), 2.0);
  Shuffler shuffler(1);
  EXPECT_TRUE(find_spine(surface, 11.0, shuffler).pieces.empty());
}

}  // namespace
}  // namespace bight::geometry

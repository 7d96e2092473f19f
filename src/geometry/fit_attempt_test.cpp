#include "geometry/fit_attempt.h"

#include <gtest/gtest.h>

#include <cmath>

#include "geometry/scan_maker_test_util.h"

namespace bight::geometry {
namespace {

const made::Tube kTube{{{150, 0, 60, 60}, {90, 110, 80, 75}}, 120, 25};

base::Result<TubeAttempt> attempt(const made::Scan& scan, double radius_mm,
                                  std::optional<double> od_mm = std::nullopt) {
  const Points points = made::scanned(kTube, scan);
  double edge_mm = 0.0;
  Points thin = thinned(points, 20000, edge_mm);
  Shuffler shuffler(1);
  return attempt_tube(surface_of(std::move(thin), edge_mm), points, radius_mm, od_mm, shuffler);
}

made::Scan scan_of(std::size_t num) {
  made::Scan scan;
  scan.num = num;
  return scan;
}

// A start radius 8 % off still ends at the tube.
TEST(FitAttempt, StartRadiusMayBeOff) {
  for (const double radius_mm : {11.5, 12.5, 13.5}) {
    const auto found = attempt(scan_of(8000), radius_mm);
    ASSERT_TRUE(found.ok());
    EXPECT_NEAR(found->fit.axis.radius_mm, 12.5, 0.02);
    EXPECT_EQ(found->fit.axis.num_bends(), 2u);
    EXPECT_GT(found->girth_seen.deg(), 350);
    EXPECT_FALSE(found->od_held);
  }
}

// A skin inside a skin: the outer one counts, whichever the start was nearer to.
TEST(FitAttempt, OuterSkinCounts) {
  made::Scan scan = scan_of(12000);
  scan.wall_mm = 2.0;
  scan.inner_all_ratio = 0.4;
  for (const double radius_mm : {10.5, 12.5}) {
    const auto found = attempt(scan, radius_mm);
    ASSERT_TRUE(found.ok());
    EXPECT_NEAR(found->fit.axis.radius_mm, 12.5, 0.03);
    ASSERT_TRUE(found->inner_radius_mm.has_value());
    EXPECT_NEAR(*found->inner_radius_mm, 10.5, 0.2);
  }
}

// With a third of the girth the caliper's diameter is held; with all of it, it is not.
TEST(FitAttempt, HoldsTheDiameterOverLittleGirth) {
  made::Scan scan = scan_of(8000);
  EXPECT_FALSE(attempt(scan, 12.5, 25.0)->od_held);
  scan.half_girth_deg = 60;
  scan.view_follows = true;
  const auto held = attempt(scan, 12.5, 25.04);
  EXPECT_TRUE(held->od_held);
  EXPECT_DOUBLE_EQ(held->fit.axis.radius_mm, 12.52);
  EXPECT_NEAR(held->girth_seen.deg(), 120, 15);
}

// A bend in a hole is named and takes the other's radius, its angle stays known.
TEST(FitAttempt, HiddenBend) {
  made::Scan scan = scan_of(12000);
  // The second bend runs from 302.8 to 407.6 along the tube.
  scan.holes_mm = {{290, 420}};
  const auto found = attempt(scan, 12.5);
  ASSERT_TRUE(found.ok());
  ASSERT_EQ(found->hidden_bends.size(), 1u);
  const BendRow& hidden = found->fit.axis.rows[found->hidden_bends[0]];
  EXPECT_NEAR(hidden.angle.deg(), 80, 0.1);
  EXPECT_NEAR(hidden.radius_mm, 60, 1.0);
}

// Nothing of that size: no run.
TEST(FitAttempt, WrongSize) { EXPECT_EQ(attempt(scan_of(8000), 400.0).ok(), false); }

}  // namespace
}  // namespace bight::geometry

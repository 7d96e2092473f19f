#include "geometry/fit_segments.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "geometry/centreline.h"
#include "geometry/scan_maker_test_util.h"

namespace bight::geometry {
namespace {

// Points along the generator's centreline, every step_mm, with noise.
Points walked(const made::Tube& tube, double step_mm, double noise_mm, unsigned seed) {
  std::mt19937_64 random(seed);
  std::normal_distribution<double> normal(0.0, 1.0);
  Points out;
  for (double s = 0; s <= made::length_of(tube); s += step_mm) {
    const made::Place at = made::place_at(tube, s);
    out.emplace_back(at.p[0], at.p[1], at.p[2]);
    for (int k = 0; k < 3; ++k) out.back()[k] += noise_mm * normal(random);
  }
  return out;
}

int num_arcs(const std::vector<SpineSegment>& segments) {
  int num = 0;
  for (const SpineSegment& s : segments) num += s.is_arc;
  return num;
}

// Straights and arcs come out in order, with the arcs' radii.
TEST(FitSegments, TellsStraightsFromArcs) {
  const made::Tube tube{{{150, 0, 40, 60}, {90, 170, 90, 90}}, 120, 22};
  for (unsigned seed = 1; seed < 6; ++seed) {
    const auto segments = split_spine(walked(tube, 5, 0.1, seed), 0.1);
    ASSERT_EQ(segments.size(), 5u);
    EXPECT_TRUE(segments[1].is_arc && segments[3].is_arc);
    EXPECT_NEAR(segments[1].radius_mm, 60, 4);
    EXPECT_NEAR(segments[3].radius_mm, 90, 2);
    EXPECT_GT(segments[0].direction.x(), 0.999);
  }
}

// A straight is one straight, however long; a ring segment one arc.
TEST(FitSegments, NoMoreThanThereIs) {
  EXPECT_EQ(split_spine(walked({{}, 3000, 22}, 5, 0.1, 3), 0.1).size(), 1u);
  const auto ring = split_spine(walked({{{0, 0, 200, 300}}, 0, 22}, 5, 0.1, 3), 0.1);
  ASSERT_EQ(ring.size(), 1u);
  EXPECT_NEAR(ring[0].radius_mm, 300, 1);
}

// The rough table lays out near the points it came from: a U, an S without a straight, 250°.
TEST(FitSegments, RoughTableLiesOnThePoints) {
  const made::Tube tubes[] = {
      {{{200, 0, 180, 75}}, 260, 30},
      {{{100, 0, 90, 50}, {0, 180, 90, 50}, {80, 90, 60, 50}}, 110, 20},
      {{{90, 0, 250, 60}}, 80, 16},
      {{{200, 0, 60, 1500}}, 200, 42.4},
  };
  for (const made::Tube& tube : tubes) {
    const Points points = walked(tube, 5, 0.05, 2);
    const RoughTable rough = *rough_table(points, split_spine(points, 0.05), tube.od_mm / 2);
    ASSERT_EQ(rough.rows.size(), tube.bends.size());
    const BendTable table = *BendTable::make(rough.rows, rough.last_straight_mm);
    const Centreline line = lay_out(table, rough.start);
    double worst_mm = 0.0;
    for (const Vec3& p : points) {
      double least = 1e9;
      for (double s = 0; s <= line.length_mm(); s += 1.0) {
        least = std::min(least, (line.at_mm(s) - p).norm());
      }
      worst_mm = std::max(worst_mm, least);
    }
    // Within the tube's own skin: what the fit needs to go on from.
    EXPECT_LT(worst_mm, 0.3 * tube.od_mm);
  }
}

// A corner without an arc gets a bend of the usual radius; counting arcs stays sane.
TEST(FitSegments, CornerWithoutArc) {
  Points points;
  for (int i = 0; i <= 20; ++i) points.emplace_back(5.0 * i, 0, 0);
  for (int i = 1; i <= 20; ++i) points.emplace_back(100 + 3.0 * i, 4.0 * i, 0);
  const auto segments = split_spine(points, 0.05);
  EXPECT_EQ(num_arcs(segments), 0);
  const RoughTable rough = *rough_table(points, segments, 10);
  ASSERT_EQ(rough.rows.size(), 1u);
  EXPECT_NEAR(rough.rows[0].angle.deg(), 53.13, 0.5);
}

}  // namespace
}  // namespace bight::geometry

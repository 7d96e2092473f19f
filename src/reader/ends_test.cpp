#include "reader/ends.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "reader/skin.h"

namespace bight::reader {
namespace {

using base::Angle;
using exchange::EndCut;
using geometry::BendTable;

constexpr double kRadius_mm = 10.0;

// Rim of a straight tube along X whose end B stands at reach(angle).
template <typename Reach>
EndLook look(const Reach& reach_mm) {
  const BendTable table = *BendTable::make({}, 100);
  const geometry::Centreline line = geometry::lay_out(table);
  std::vector<EdgePoint> points;
  for (int i = 0; i < 72; ++i) {
    const double t = i * std::numbers::pi / 36;
    for (const double x : {0.0, 100.0 + reach_mm(t)}) {
      points.push_back({{x, kRadius_mm * std::cos(t), kRadius_mm * std::sin(t)}, 0, kNoEdge});
    }
  }
  return look_at_end(Scan(), points, {}, line, frame_turns(table), true);
}

// A square cut is square where it stands.
TEST(Ends, SquareCut) {
  const EndLook end = look([](double) { return 2.5; });
  ASSERT_TRUE(end.seen);
  EXPECT_EQ(end.end.cut, EndCut::kSquare);
  EXPECT_NEAR(end.beyond_mm, 2.5, 1e-9);
}

// A mitre: angle, generators, and the centreline ending in the cut plane.
TEST(Ends, MitreCut) {
  const double slope = std::tan(30 * std::numbers::pi / 180);
  const EndLook end = look([&](double t) { return 1.0 + slope * kRadius_mm * std::cos(t); });
  EXPECT_EQ(end.end.cut, EndCut::kMitre);
  EXPECT_NEAR(end.end.mitre.deg(), 30, 1e-6);
  EXPECT_NEAR(end.beyond_mm, 1.0, 1e-9);
  EXPECT_NEAR(end.end.longest_mm, slope * kRadius_mm, 1e-6);
  EXPECT_NEAR(end.end.shortest_mm, -slope * kRadius_mm, 1e-6);
}

// A shaped end without a cylinder to go by ends at its furthest point.
TEST(Ends, ShapedCut) {
  const EndLook end = look([](double t) { return 3 * std::cos(2 * t); });
  EXPECT_EQ(end.end.cut, EndCut::kCoped);
  EXPECT_EQ(end.end.cut_radius_mm, 0.0);
  EXPECT_NEAR(end.beyond_mm, 3.0, 0.02);
  EXPECT_NEAR(end.end.shortest_mm, -6.0, 0.05);
}

// A square end with a notch stays square.
TEST(Ends, NotchedCut) {
  const EndLook end = look([](double t) { return t < 1.0 ? -8.0 : 0.0; });
  EXPECT_EQ(end.end.cut, EndCut::kSquare);
  EXPECT_TRUE(end.notched);
  EXPECT_NEAR(end.beyond_mm, 0.0, 1e-9);
}

// Too few points say nothing.
TEST(Ends, TooFewPoints) {
  const BendTable table = *BendTable::make({}, 100);
  const geometry::Centreline line = geometry::lay_out(table);
  EXPECT_FALSE(look_at_end(Scan(), {}, {}, line, frame_turns(table), false).seen);
}

// Trimming moves the ends along the centreline, into the bend where the straight is too short.
TEST(Ends, TrimmingFollowsTheCentreline) {
  const BendTable table = *BendTable::make({{20, Angle(), Angle::degrees(90), 60}}, 30);
  const geometry::Centreline whole = geometry::lay_out(table);
  const Trimmed cut = trimmed(table, {}, -35, -4);
  const geometry::Centreline rest = geometry::lay_out(cut.table, cut.start);
  EXPECT_NEAR(rest.length_mm(), whole.length_mm() - 39, 1e-9);
  EXPECT_LT((rest.start_mm() - whole.at_mm(35)).norm(), 1e-9);
  EXPECT_LT((rest.end_mm() - whole.at_mm(whole.length_mm() - 4)).norm(), 1e-9);
  EXPECT_EQ(cut.table.straight_mm(0), 0.0);
  const Trimmed longer = trimmed(table, {}, 5, 6);
  EXPECT_NEAR(longer.table.straight_mm(0), 25, 1e-12);
  EXPECT_NEAR(longer.table.last_straight_mm(), 36, 1e-12);
}

// From the other end the same line, run the other way.
TEST(Ends, OtherEndIsTheSameLine) {
  const BendTable table = *BendTable::make(
      {{20, Angle(), Angle::degrees(90), 60}, {15, Angle::degrees(40), Angle::degrees(30), 50}},
      30);
  const Trimmed other = from_other_end(table, {});
  const geometry::Centreline one = geometry::lay_out(table);
  const geometry::Centreline two = geometry::lay_out(other.table, other.start);
  for (const double at_mm : {0.0, 17.0, 60.0, 120.0, one.length_mm()}) {
    EXPECT_LT((one.at_mm(at_mm) - two.at_mm(one.length_mm() - at_mm)).norm(), 1e-9);
  }
}

}  // namespace
}  // namespace bight::reader

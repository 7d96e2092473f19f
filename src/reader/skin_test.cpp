#include "reader/skin.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace bight::reader {
namespace {

using base::Angle;
using geometry::BendTable;

BendTable sample() {
  return *BendTable::make(
      {{100, Angle(), Angle::degrees(50), 60}, {70, Angle::degrees(111), Angle::degrees(120), 80}},
      90);
}

// Points of a tube of radius 10 swept along the table.
std::vector<SkinPoint> points_on(const BendTable& table) {
  std::vector<SkinPoint> points;
  const geometry::Centreline line = geometry::lay_out(table);
  for (std::size_t s = 0; s < line.segments.size(); ++s) {
    for (int i = 0; i <= 8; ++i) {
      const geometry::Frame frame = line.segments[s].at(line.segments[s].length_mm * i / 8);
      for (int k = 0; k < 12; ++k) {
        const double t = k * std::numbers::pi / 6;
        points.push_back(
            {frame.origin_mm + 10 * (frame.inward * std::cos(t) + frame.normal * std::sin(t)), s,
             0});
      }
    }
  }
  return points;
}

// Points of the swept tube lie on it, points moved off lie as far off as they were moved.
TEST(Skin, DeviationIsTheDistance) {
  const BendTable table = sample();
  std::vector<SkinPoint> points = points_on(table);
  EXPECT_LT(deviation(table, {}, {{0, 0, 10}}, points).max_mm, 1e-12);
  EXPECT_NEAR(deviation(table, {}, {{0, 0, 9.7}}, points).max_mm, 0.3, 1e-12);
  EXPECT_NEAR(deviation(table, {}, {{0, 0, 9.7}}, points).rms_mm, 0.3, 1e-12);
}

// Distance to a rounded rectangle against plain geometry: side, end, corner, inside; and turned.
TEST(Skin, RoundedRectangle) {
  const Outline outline{15, 7, 5};  // 40 x 24 with corners of 5
  const Angle none;
  EXPECT_NEAR(distance_mm({0, 21, 0}, outline, none), 1.0, 1e-12);
  EXPECT_NEAR(distance_mm({0, 0, -12}, outline, none), 0.0, 1e-12);
  EXPECT_NEAR(distance_mm({0, 15 + 3, 7 + 4}, outline, none), 0.0, 1e-12);
  EXPECT_NEAR(distance_mm({0, 0, 0}, outline, none), -12.0, 1e-12);
  EXPECT_NEAR(distance_mm({0, 12, 0}, outline, Angle::degrees(90)), 0.0, 1e-12);
  EXPECT_NEAR(distance_mm({0, 0, 20}, outline, Angle::degrees(-90)), 0.0, 1e-12);
}

// A point of a bend beyond half a turn is seen at its own place along it.
TEST(Skin, SeesAllRoundABend) {
  const BendTable table = *BendTable::make({{0, Angle(), Angle::degrees(350), 60}}, 0);
  const geometry::Segment bend = geometry::lay_out(table).bend(0);
  for (const double along_mm : {0.0, 100.0, 250.0, bend.length_mm}) {
    const Seen seen = seen_from(bend, bend.at(along_mm).origin_mm);
    EXPECT_NEAR(seen.along_mm, along_mm, 1e-9);
    EXPECT_NEAR(seen.inward_mm, 0.0, 1e-9);
  }
}

// From a table a little wrong the fit finds the true one, and the size with it.
TEST(Skin, RefitFindsTheTable) {
  const BendTable table = sample();
  const std::vector<SkinPoint> points = points_on(table);
  std::vector<geometry::BendRow> rows = table.rows();
  rows[0].angle = rows[0].angle + Angle::degrees(0.05);
  rows[1].radius_mm += 0.1;
  rows[1].straight_mm -= 0.08;
  rows[1].rotation = rows[1].rotation + Angle::degrees(0.1);
  const BendTable wrong = *BendTable::make(rows, 90);
  const std::vector<Outline> outline = {{0, 0, 9.95}};
  EXPECT_GT(deviation(wrong, {}, outline, points).max_mm, 0.1);
  const Fitted fitted = refit(wrong, {}, outline, points);
  EXPECT_LT(fitted.deviation.max_mm, 1e-4);
  EXPECT_NEAR(fitted.outlines[0].corner_mm, 10.0, 1e-4);
  EXPECT_NEAR(fitted.table.rows()[0].angle.deg(), 50.0, 1e-3);
  EXPECT_NEAR(fitted.table.rows()[1].rotation.deg(), 111.0, 1e-3);
  EXPECT_NEAR(fitted.table.rows()[1].radius_mm, 80.0, 1e-3);
  EXPECT_NEAR(fitted.table.rows()[1].straight_mm, 70.0, 1e-3);
}

// Turns of the frames add up along the table.
TEST(Skin, FrameTurnsAddUp) {
  const auto turns = frame_turns(sample());
  ASSERT_EQ(turns.size(), 5U);
  EXPECT_EQ(turns[1].deg(), 0.0);
  EXPECT_NEAR(turns[3].deg(), 111.0, 1e-12);
  EXPECT_NEAR(turns[4].deg(), 111.0, 1e-12);
}

}  // namespace
}  // namespace bight::reader

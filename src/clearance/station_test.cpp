#include "clearance/station.h"

#include <gtest/gtest.h>

#include <bit>

#include "clearance/sample_bender_test_util.h"

namespace bight::clearance {
namespace {

using geometry::Frame;
using geometry::Vec3;
using sample::Angle;

// Pieces from the die outwards cover the blank without gaps, join, and begin and end with a
// straight; only made bends are arcs.
TEST(Station, SidesCoverTheBlank) {
  std::mt19937_64 rng(17);
  for (int round = 0; round < 200; ++round) {
    const Tube tube = sample::random_tube(rng, 1 + rng() % 7);
    Step step;
    step.bend = rng() % tube.bends.size();
    step.made = rng() & ((MadeBends{1} << tube.bends.size()) - 1) & ~(MadeBends{1} << step.bend);
    step.front = round % 2 == 0 ? Front::kEndA : Front::kEndB;
    const TubeBend& bend = tube.bends[step.bend];
    int arcs = 0;
    for (const Side side : {Side::kAhead, Side::kBehind}) {
      const bool to_b = (side == Side::kAhead) == (step.front == Front::kEndB);
      const std::vector<Piece> pieces = lay_side(tube, step, side, Frame());
      ASSERT_FALSE(pieces.front().segment.is_arc());
      ASSERT_FALSE(pieces.back().segment.is_arc());
      double at_mm = to_b ? bend.start_mm + bend.blank_mm : bend.start_mm;
      Frame frame;
      Angle turned;
      for (const Piece& piece : pieces) {
        EXPECT_EQ(piece.along_mm, at_mm);
        EXPECT_LT((piece.segment.start.origin_mm - frame.origin_mm).norm(), 1e-9);
        EXPECT_LT((piece.segment.start.ahead - frame.ahead).norm(), 1e-12);
        EXPECT_NEAR(piece.turned.rad(), turned.rad(), 1e-12);
        EXPECT_EQ(piece.along_end_mm > piece.along_mm, to_b);
        at_mm = piece.along_end_mm;
        frame = piece.segment.at(piece.segment.length_mm);
        turned = turned + piece.segment.angle;
        arcs += piece.segment.is_arc() ? 1 : 0;
      }
      EXPECT_EQ(at_mm, to_b ? tube.length_mm : 0.0);
      EXPECT_NEAR(turned.rad(), bending_on(tube, step, side).rad(), 1e-12);
    }
    EXPECT_EQ(arcs, std::popcount(step.made));
  }
}

// The tangent point: right of the die for a counter-clockwise head, left for a clockwise one, at
// the die's level; the feed along +x in both.
TEST(Station, TangentPoint) {
  workshop::Bender bender = sample::bender();
  bender.around.levels_mm = {0, 85};
  const workshop::DieSet die = sample::die(100, 2);
  Station at = station({&bender, {&die}}, 0, 100);
  EXPECT_EQ(at.tangent.origin_mm, Vec3(0, -100, 85));
  EXPECT_EQ(at.tangent.inward, Vec3(0, 1, 0));
  EXPECT_EQ(at.outward(), Vec3(0, -1, 0));
  bender.direction = workshop::TurnDirection::kClockwise;
  at = station({&bender, {&die}}, 0, 100);
  EXPECT_EQ(at.tangent.origin_mm, Vec3(0, 100, 85));
  EXPECT_EQ(at.tangent.normal, Vec3(0, 0, -1));
  EXPECT_EQ(at.tangent.ahead.cross(at.tangent.inward), at.tangent.normal);
  EXPECT_EQ(level_mm({&bender, {&die}}, die).value(), 85);
  bender.around.levels_mm = {0};
  EXPECT_EQ(level_mm({&bender, {&die}}, die).failure().code, "clearance.die");
}

// A segment turned back is the same line from its other end.
TEST(Station, TurnedBack) {
  Frame frame;
  frame.origin_mm = Vec3(1, 2, 3);
  const geometry::Segment arc{frame, 100 * 1.2, 100, Angle::radians(1.2)};
  const geometry::Segment back = turned_back(arc);
  for (const double x : {0.0, 0.3, 1.0}) {
    EXPECT_LT((arc.at(120 * x).origin_mm - back.at(120 * (1 - x)).origin_mm).norm(), 1e-9);
  }
  EXPECT_LT((turned_back(back).start.normal - arc.start.normal).norm(), 1e-12);
}

}  // namespace
}  // namespace bight::clearance

#include "reader/chain.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <numbers>
#include <random>

#include "geometry/centreline.h"

namespace bight::reader {
namespace {

using base::Angle;
using geometry::BendTable;

// Strands of a laid-out table, each turned and all shuffled at random.
std::vector<Strand> strands_of_table(const BendTable& table, unsigned seed) {
  std::mt19937 random(seed);
  std::vector<Strand> strands;
  const geometry::Centreline line = geometry::lay_out(table);
  for (const geometry::Segment& segment : line.segments) {
    if (segment.length_mm < 1e-9) continue;
    Strand strand;
    const geometry::Frame end = segment.at(segment.length_mm);
    strand.arc = segment.is_arc();
    strand.ends_mm[0] = segment.start.origin_mm;
    strand.ends_mm[1] = end.origin_mm;
    strand.outwards[0] = -segment.start.ahead;
    strand.outwards[1] = end.ahead;
    strand.profile_mm = 10;
    if (strand.arc) {
      strand.centre_mm = segment.centre_mm();
      strand.axis = segment.start.normal;
      strand.radius_mm = segment.radius_mm;
      strand.sweep = segment.angle;
    }
    if (random() % 2 == 0) {
      std::swap(strand.ends_mm[0], strand.ends_mm[1]);
      std::swap(strand.outwards[0], strand.outwards[1]);
      strand.axis = -strand.axis;
    }
    strands.push_back(strand);
  }
  std::shuffle(strands.begin(), strands.end(), random);
  return strands;
}

BendTable sample() {
  return *BendTable::make({{100, Angle(), Angle::degrees(50), 60},
                           {0, Angle::degrees(111), Angle::degrees(200), 60},
                           {40, Angle::degrees(-30), Angle::degrees(80), 75}},
                          90);
}

// Whatever the order and direction of the strands, the table comes back, from one end or the other.
TEST(Chain, TableFromShuffledStrands) {
  const BendTable table = sample();
  for (unsigned seed = 0; seed < 20; ++seed) {
    std::vector<Strand> strands = strands_of_table(table, seed);
    const std::vector<Chain> chains = chains_of(Scan(), strands);
    ASSERT_EQ(chains.size(), 1U);
    EXPECT_EQ(chains[0].num_bends, 3U);
    EXPECT_LT(chains[0].worst_gap_mm, 1e-9);
    const auto path = path_of(travelled(chains[0], strands));
    ASSERT_TRUE(path.ok());
    const bool forward = std::abs(path->table.straight_mm(0) - 100) < 1e-6;
    const BendTable expected = forward ? table : table.reversed();
    for (std::size_t i = 0; i < 3; ++i) {
      EXPECT_NEAR(path->table.rows()[i].straight_mm, expected.rows()[i].straight_mm, 1e-9);
      EXPECT_NEAR(path->table.rows()[i].angle.deg(), expected.rows()[i].angle.deg(), 1e-9);
      EXPECT_NEAR(path->table.rows()[i].rotation.deg(), expected.rows()[i].rotation.deg(), 1e-9);
    }
  }
}

// Strands of other size, side or direction do not join.
TEST(Chain, OnlyLikeStrandsJoin) {
  std::vector<Strand> strands = strands_of_table(sample(), 1);
  strands[2].profile_mm = 11;
  EXPECT_EQ(chains_of(Scan(), strands).size(), 3U);
  strands = strands_of_table(sample(), 1);
  strands[2].convex = false;
  EXPECT_EQ(chains_of(Scan(), strands).size(), 3U);
}

// A hidden stretch of a straight is bridged inside one body, not between bodies.
TEST(Chain, BridgesInsideOneBody) {
  std::vector<Strand> strands(2);
  for (double from_mm = 0.0; Strand & strand : strands) {
    strand.profile_mm = 10;
    strand.ends_mm[0] = Vec3(from_mm, 0, 0);
    strand.ends_mm[1] = Vec3(from_mm + 50, 0, 0);
    strand.outwards[0] = -Vec3::UnitX();
    strand.outwards[1] = Vec3::UnitX();
    from_mm += 60.0;
  }
  std::vector<Strand> same = strands;
  const auto one = chains_of(Scan(), same);
  ASSERT_EQ(one.size(), 1U);
  EXPECT_EQ(one[0].num_covered, 1U);
  strands[1].body = 1;
  EXPECT_EQ(chains_of(Scan(), strands).size(), 2U);
}

// A hidden tangent point is found from straight and arc, and the arc is drawn back to it.
TEST(Chain, BridgesHiddenTangentPoint) {
  const BendTable table = *BendTable::make({{100, Angle(), Angle::degrees(90), 60}}, 50);
  std::vector<Strand> strands = strands_of_table(table, 3);
  for (Strand& strand : strands) {
    for (int end = 0; end < 2; ++end) {
      if ((strand.ends_mm[end] - Vec3(100, 0, 0)).norm() > 1e-6) continue;
      if (!strand.arc) {
        strand.ends_mm[end] = {90, 0, 0};
        continue;
      }
      const Angle hidden = end == 0 ? Angle::degrees(10) : Angle::degrees(-10);
      strand.ends_mm[end] =
          strand.centre_mm +
          geometry::turned(strand.ends_mm[end] - strand.centre_mm, strand.axis, hidden);
      strand.outwards[end] = geometry::turned(strand.outwards[end], strand.axis, hidden);
      strand.sweep = strand.sweep - Angle::degrees(10);
    }
  }
  const auto chains = chains_of(Scan(), strands);
  ASSERT_EQ(chains.size(), 1U);
  const auto path = path_of(travelled(chains[0], strands));
  ASSERT_TRUE(path.ok());
  EXPECT_NEAR(path->table.rows()[0].angle.deg(), 90, 1e-9);
  EXPECT_NEAR(path->table.developed_length_mm(), table.developed_length_mm(), 1e-9);
}

// A run that bites its own tail is closed.
TEST(Chain, ClosedRunIsSaidToBe) {
  const Angle right = Angle::degrees(90);
  const BendTable table = *BendTable::make({{100, Angle(), right, 60},
                                            {100, Angle(), right, 60},
                                            {100, Angle(), right, 60},
                                            {100, Angle(), right, 60}},
                                           0);
  std::vector<Strand> strands = strands_of_table(table, 4);
  const auto chains = chains_of(Scan(), strands);
  ASSERT_EQ(chains.size(), 1U);
  EXPECT_TRUE(chains[0].closed);
}

}  // namespace
}  // namespace bight::reader

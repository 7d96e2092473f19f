#include "geometry/bend_table.h"

#include <gtest/gtest.h>

#include <limits>

namespace bight::geometry {
namespace {

using base::Angle;

BendRow row(double straight_mm, double rotation_deg, double angle_deg, double radius_mm) {
  return {straight_mm, Angle::degrees(rotation_deg), Angle::degrees(angle_deg), radius_mm};
}

BendTable sample() {
  return *BendTable::make(
      {row(340, 0, 90, 60), row(180, 90, 45, 75), row(55, 180, 120, 60), row(80, -30, 200, 50)},
      190);
}

// Straights 340/180/190, R 60, 90/90, rotation 90: developed 898.5 (common practice, no source:
// arithmetic 710 + 2 * 60 * pi / 2).
TEST(BendTable, DevelopedLength) {
  const BendTable table = *BendTable::make({row(340, 0, 90, 60), row(180, 90, 90, 60)}, 190);
  EXPECT_NEAR(table.developed_length_mm(), 898.4955592, 1e-6);
  EXPECT_NEAR(table.total_bend().deg(), 180.0, 1e-12);
}

// 90 deg, R 6 in, 12 in straights: 33.42 in, printed with pi/180 = 0.01745 (bending order form of
// the trade, 33.423).
TEST(BendTableReference, OrderFormTotal) {
  const BendTable table = *BendTable::make({row(12 * 25.4, 0, 90, 6 * 25.4)}, 12 * 25.4);
  EXPECT_NEAR(table.developed_length_mm() / 25.4, 33.423, 0.005);
  EXPECT_NEAR(table.developed_length_mm() / 25.4, 33.4248, 5e-5);
}

TEST(BendTable, ReversingTwiceIsTheSame) {
  EXPECT_EQ(sample().reversed().reversed(), sample());
  EXPECT_NEAR(sample().reversed().developed_length_mm(), sample().developed_length_mm(), 1e-9);
  EXPECT_DOUBLE_EQ(sample().reversed().rows()[0].straight_mm, 190);
  // The rotation between two bends is the same from either side.
  EXPECT_EQ(sample().reversed().rows()[1].rotation, Angle::degrees(-30));
}

TEST(BendTable, MirroringNegatesRotationsOnly) {
  const BendTable mirror = sample().mirrored();
  EXPECT_EQ(mirror.mirrored(), sample());
  for (std::size_t i = 0; i < mirror.num_bends(); ++i) {
    EXPECT_EQ(mirror.rows()[i].straight_mm, sample().rows()[i].straight_mm);
    EXPECT_EQ(mirror.rows()[i].angle, sample().rows()[i].angle);
    EXPECT_NEAR((mirror.rows()[i].rotation + sample().rows()[i].rotation).wrapped_positive().deg(),
                0.0, 1e-12);
  }
  EXPECT_EQ(mirror.developed_length_mm(), sample().developed_length_mm());
}

// (rotation, angle) and (rotation + 180, -angle) are one bend; the next bend still lies where it
// lay.
TEST(BendTable, NegativeAngleTurnsThePlane) {
  std::vector<TableNote> notes;
  const BendTable table = *BendTable::make(
      {row(100, 0, 90, 50), row(50, 20, -30, 50), row(50, 10, 40, 50)}, 100, &notes);
  EXPECT_NEAR(table.rows()[1].rotation.deg(), -160, 1e-12);
  EXPECT_NEAR(table.rows()[1].angle.deg(), 30, 1e-12);
  EXPECT_NEAR(table.rows()[2].rotation.deg(), -170, 1e-12);
  ASSERT_EQ(notes.size(), 1u);
  EXPECT_EQ(notes[0].code, "table.negative-angle");
}

TEST(BendTable, RowsWithoutBendAreMergedAway) {
  std::vector<TableNote> notes;
  const BendTable table =
      *BendTable::make({row(100, 0, 90, 50), row(50, 20, 0, 0), row(30, 10, 40, 50)}, 100, &notes);
  ASSERT_EQ(table.num_bends(), 2u);
  EXPECT_DOUBLE_EQ(table.rows()[1].straight_mm, 80);
  EXPECT_NEAR(table.rows()[1].rotation.deg(), 30, 1e-12);
  EXPECT_EQ(notes[0].code, "table.no-bend");
}

TEST(BendTable, FirstRotationIsSetToZeroAndSaid) {
  std::vector<TableNote> notes;
  const BendTable table = *BendTable::make({row(10, 45, 90, 50)}, 10, &notes);
  EXPECT_EQ(table.rows()[0].rotation, Angle());
  EXPECT_EQ(notes[0].code, "table.first-rotation");
}

TEST(BendTable, AbsoluteRotationsAddUp) {
  const std::vector<Angle> planes = sample().absolute_rotations();
  EXPECT_NEAR(planes[1].deg(), 90, 1e-12);
  EXPECT_NEAR(planes[2].deg(), 270, 1e-12);
  EXPECT_NEAR(planes[3].deg(), 240, 1e-12);
}

TEST(BendTable, OverlapsSayWhatIsMissing) {
  const BendTable table = *BendTable::make({row(100, 0, 90, 50), row(-53.5, 0, 90, 50)}, 20);
  const std::vector<Overlap> found = overlaps(table);
  ASSERT_EQ(found.size(), 1u);
  EXPECT_EQ(found[0].straight_index, 1u);
  EXPECT_DOUBLE_EQ(found[0].missing_mm, 53.5);
}

TEST(BendTable, ArcsThatMeetBecomeOne) {
  const BendTable split = *BendTable::make({row(100, 0, 90, 50), row(0, 0, 90, 50)}, 100);
  const BendTable whole = merged_arcs(split);
  ASSERT_EQ(whole.num_bends(), 1u);
  EXPECT_NEAR(whole.rows()[0].angle.deg(), 180, 1e-12);
  EXPECT_NEAR(whole.developed_length_mm(), split.developed_length_mm(), 1e-9);
  const BendTable two_radii = *BendTable::make({row(100, 0, 90, 50), row(0, 0, 90, 60)}, 100);
  EXPECT_EQ(merged_arcs(two_radii).num_bends(), 2u);
}

TEST(BendTable, RefusesNonsense) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_EQ(BendTable::make({row(nan, 0, 90, 50)}, 1).failure().code, "table.number");
  EXPECT_EQ(BendTable::make({row(1, 0, 360, 50)}, 1).failure().code, "table.angle");
  EXPECT_EQ(BendTable::make({row(1, 0, 90, 0)}, 1).failure().code, "table.radius");
  EXPECT_EQ(BendTable::make({}, 0).failure().code, "table.empty");
  EXPECT_EQ(BendTable::make({row(1, 0, 90, 50), row(1, 0, 90, -2)}, 1).failure().where, "bend 2");
}

}  // namespace
}  // namespace bight::geometry

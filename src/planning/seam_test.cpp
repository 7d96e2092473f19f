#include "planning/seam.h"

#include <gtest/gtest.h>

namespace bight::planning {
namespace {

using base::Angle;
using geometry::BendTable;

BendTable planes(std::initializer_list<double> rotations_deg) {
  std::vector<geometry::BendRow> rows;
  for (const double deg : rotations_deg) {
    rows.push_back({100, Angle::degrees(deg), Angle::degrees(90), 50});
  }
  return *BendTable::make(rows, 100);
}

// One plane: the seam goes to the side, 3 or 9 o'clock, fully neutral (49 CFR 192.313; common
// practice).
TEST(Seam, OnePlaneGoesToTheSide) {
  const Seam seam = *best_seam(planes({0, 0, 180}));
  EXPECT_TRUE(seam.text == "3:00" || seam.text == "9:00") << seam.text;
  EXPECT_NEAR(seam.off_neutral.deg(), 0, 1e-9);
}

// Outsides at 12 and 3 o'clock: 7:30, 45° from each neutral side and away from both outsides.
TEST(Seam, TwoPlanesCompromise) {
  const Seam seam = *best_seam(planes({0, 90}));
  EXPECT_EQ(seam.text, "7:30");
  EXPECT_NEAR(seam.off_neutral.deg(), 45, 0.3);
}

// Told by another bend it is the same place: from the outside at 3 o'clock 7:30 is 4:30, and that
// bend's outside stands at 12.
TEST(Seam, IsToldByTheBendMadeFirst) {
  const Seam seam = *best_seam(planes({0, 90}), 2);
  EXPECT_EQ(seam.bend, 2u);
  EXPECT_EQ(seam.text, "4:30");
  EXPECT_NEAR(seam.off_neutral.deg(), 45, 0.3);
}

TEST(Seam, ClockText) {
  EXPECT_EQ(clock_text(Angle::degrees(0)), "12:00");
  EXPECT_EQ(clock_text(Angle::degrees(90)), "3:00");
  EXPECT_EQ(clock_text(Angle::degrees(225)), "7:30");
  EXPECT_EQ(clock_text(Angle::degrees(359.5)), "12:00");
  EXPECT_EQ(clock_text(Angle::degrees(357.5)), "11:55");
}

TEST(Seam, NothingWithoutBends) { EXPECT_FALSE(best_seam(*BendTable::make({}, 100)).has_value()); }

}  // namespace
}  // namespace bight::planning

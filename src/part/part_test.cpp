#include "part/part.h"

#include <gtest/gtest.h>

namespace bight::part {
namespace {

using base::Angle;

Part sample() {
  return Part{
      .name = "Rail",
      .hand = Hand::kLeft,
      .section = *stock::Section::round_tube(25, 1.5),
      .material = {},
      .table = *geometry::BendTable::make({{340, Angle(), Angle::degrees(90), 60},
                                           {180, Angle::degrees(70), Angle::degrees(45), 60}},
                                          190)};
}

// Left and right: lengths and angles equal, every rotation sign reversed, hands exchanged.
TEST(Part, MirroredPair) {
  const Part right = mirrored(sample());
  EXPECT_EQ(letters(sample().hand), "LH");
  EXPECT_EQ(letters(right.hand), "RH");
  EXPECT_EQ(right.table.rows()[1].rotation, -sample().table.rows()[1].rotation);
  EXPECT_EQ(right.table.developed_length_mm(), sample().table.developed_length_mm());
  EXPECT_EQ(mirrored(right).table, sample().table);
}

// A rectangular tube turned by a quarter lies the other way; by 30° it lies square in no die.
TEST(Part, RectangularTubeInItsPlanes) {
  Part part = sample();
  part.section = *stock::Section::rect_tube(20, 40, 2, 3);
  part.table = *geometry::BendTable::make({{300, Angle(), Angle::degrees(90), 60},
                                           {300, Angle::degrees(-90), Angle::degrees(45), 60},
                                           {300, Angle::degrees(30), Angle::degrees(45), 60}},
                                          300);
  EXPECT_EQ(section_at(part, 0).height_mm(), 20);
  EXPECT_EQ(section_at(part, 1).height_mm(), 40);
  EXPECT_NEAR(skew_at(part, 1).deg(), 0, 1e-9);
  EXPECT_NEAR(skew_at(part, 2).deg(), 30, 1e-9);
  part.section = *stock::Section::round_tube(25, 1.5);
  EXPECT_EQ(skew_at(part, 2), Angle());
}

TEST(Part, SingleStaysSingle) {
  Part part = sample();
  part.hand = Hand::kSingle;
  EXPECT_EQ(mirrored(part).hand, Hand::kSingle);
  EXPECT_EQ(letters(part.hand), "");
}

}  // namespace
}  // namespace bight::part

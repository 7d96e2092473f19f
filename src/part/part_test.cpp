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

TEST(Part, SingleStaysSingle) {
  Part part = sample();
  part.hand = Hand::kSingle;
  EXPECT_EQ(mirrored(part).hand, Hand::kSingle);
  EXPECT_EQ(letters(part.hand), "");
}

}  // namespace
}  // namespace bight::part

#include "inspection/measured.h"

#include <gtest/gtest.h>

namespace bight::inspection {
namespace {

using base::Angle;

const geometry::BendTable kTable = *geometry::BendTable::make(
    {{100, Angle(), Angle::degrees(90), 50}, {80, Angle::degrees(30), Angle::degrees(45), 50}},
    120);

// A whole table survives the trip; one missing reading and it is whole no more.
TEST(Measured, WholeTableNeedsEverything) {
  Measured piece = from_table(kTable);
  EXPECT_EQ(whole_table(piece, kTable), kTable);
  EXPECT_TRUE(piece.any_bend());
  EXPECT_FALSE(piece.any_point());
  EXPECT_FALSE(piece.any_section());
  piece.bends[0].rotation.reset();  // 0 by definition
  EXPECT_EQ(whole_table(piece, kTable), kTable);
  piece.bends[1].rotation.reset();
  EXPECT_FALSE(whole_table(piece, kTable).has_value());
  piece = from_table(kTable);
  piece.last_straight_mm.reset();
  EXPECT_FALSE(whole_table(piece, kTable).has_value());
  piece = from_table(kTable);
  piece.bends.pop_back();
  EXPECT_FALSE(whole_table(piece, kTable).has_value());
  piece = from_table(kTable);
  piece.bends[0].angle = Angle();
  EXPECT_FALSE(whole_table(piece, kTable).has_value());
}

}  // namespace
}  // namespace bight::inspection

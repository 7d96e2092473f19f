#include "exchange/measured_table.h"

#include <gtest/gtest.h>

namespace bight::exchange {
namespace {

MeasuredTableOptions two_bends(Answers answers = {}) { return {2, 4, std::move(answers)}; }

base::Result<MeasuredPiece> read(const std::string& text, Answers answers = {}) {
  return read_measured_table(text, "m.csv", two_bends(std::move(answers)));
}

// Rows of bends with gaps, the last straight below them; columns in any order, a note passed over.
TEST(MeasuredTable, Bends) {
  const auto piece = read(
      "bend,set [deg],straight [mm],rotation,angle,remark\n"
      "1,94.6,366.5,,89.6,\n"
      "2,,430.5,12.5,,short leg\n"
      "last,,367.1,,,\n");
  ASSERT_TRUE(piece.ok()) << piece.failure().text();
  ASSERT_TRUE(piece->questions.empty());
  const inspection::Measured& m = piece->measured;
  ASSERT_EQ(m.bends.size(), 2u);
  EXPECT_DOUBLE_EQ(m.bends[0].set->deg(), 94.6);
  EXPECT_FALSE(m.bends[0].rotation);
  EXPECT_DOUBLE_EQ(m.bends[0].angle->deg(), 89.6);
  EXPECT_DOUBLE_EQ(*m.bends[1].straight_mm, 430.5);
  EXPECT_FALSE(m.bends[1].angle);
  EXPECT_DOUBLE_EQ(m.bends[1].rotation->deg(), 12.5);
  EXPECT_DOUBLE_EQ(*m.last_straight_mm, 367.1);
}

// Points, one not measured; inches as the heading says.
TEST(MeasuredTable, Points) {
  const auto piece = read("point;x [in];y [in];z [in]\nA;0;0;0\n1;;;\n2;1,5;2;0\nB;1;1;1\n");
  ASSERT_TRUE(piece.ok()) << piece.failure().text();
  ASSERT_EQ(piece->measured.points_mm.size(), 4u);
  EXPECT_FALSE(piece->measured.points_mm[1]);
  EXPECT_NEAR(piece->measured.points_mm[2]->x(), 38.1, 1e-12);
  EXPECT_EQ(piece->unit, base::LengthUnit::kInch);
}

// Included angles under a heading that says so.
TEST(MeasuredTable, IncludedAngles) {
  const auto piece = read("included angle\n120\n90\n");
  ASSERT_TRUE(piece.ok()) << piece.failure().text();
  EXPECT_DOUBLE_EQ(piece->measured.bends[0].angle->deg(), 60.0);
}

// What could be read two ways is asked, and the answer taken.
TEST(MeasuredTable, Questions) {
  const auto open = read("straight,angle\n10,90\n20,90\n");
  ASSERT_TRUE(open.ok());
  ASSERT_EQ(open->questions.size(), 1u);
  EXPECT_EQ(open->questions[0].code, "ask.units");
  EXPECT_DOUBLE_EQ(
      *read("straight,angle\n10,90\n20,90\n", {{"units", "in"}})->measured.bends[0].straight_mm,
      254.0);
  const auto decimal = read("straight [mm];angle\n1.234;90\n2.345;90\n");
  ASSERT_TRUE(decimal.ok());
  ASSERT_EQ(decimal->questions.size(), 1u);
  EXPECT_EQ(decimal->questions[0].code, "ask.decimal");
  EXPECT_EQ(read("straight\n1\n2\n", {{"units", "furlong"}}).failure().code, "ask.choice");
}

// Complaints name the row and the column.
TEST(MeasuredTable, Refusals) {
  EXPECT_EQ(read("piece,shift\n1,2\n").failure().code, "measured.columns");
  EXPECT_EQ(read("angle,bend angle\n1,2\n3,4\n").failure().code, "measured.columns");
  EXPECT_EQ(read("angle\n90\n").failure().code, "measured.rows");
  EXPECT_EQ(read("x [mm],y,z\n0,0,0\n").failure().code, "measured.rows");
  const base::Failure cell = read("angle,straight [mm]\n90,10\nninety,10\n").failure();
  EXPECT_EQ(cell.code, "table.cell");
  EXPECT_EQ(cell.where, "m.csv:3, column 1");
  EXPECT_EQ(read("x [mm],y [mm],z [mm]\n0,0,0\n0,,0\n0,0,0\n0,0,0\n").failure().code, "table.cell");
}

}  // namespace
}  // namespace bight::exchange

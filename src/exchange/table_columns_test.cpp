#include "exchange/table_columns.h"

#include <gtest/gtest.h>

namespace bight::exchange {
namespace {

struct Laid {
  base::Result<TableLayout> layout;
  std::vector<std::string> asked;
};

Laid lay(const std::string& text, const Answers& answers = {}) {
  const base::Result<TextGrid> grid = TextGrid::cut(text, "f");
  EXPECT_TRUE(grid.ok());
  Asking asking(answers);
  Laid laid{lay_columns(*grid, "f", asking), {}};
  for (const Question& question : asking.open()) laid.asked.push_back(question.code);
  return laid;
}

// Columns are found by their headings, below whatever stands above them.
TEST(TableColumns, FindsTheHeading) {
  const Laid laid = lay("Fenwater;drawing 7\nUnits: mm;;\nNo;Y;X;Remarks\n1;2;3;\n");
  ASSERT_TRUE(laid.layout.ok());
  EXPECT_TRUE(laid.asked.empty());
  EXPECT_EQ(laid.layout->kind, TableKind::kCorners);
  EXPECT_EQ(laid.layout->x, 2u);
  EXPECT_EQ(laid.layout->y, 1u);
  EXPECT_FALSE(laid.layout->z.has_value());
  EXPECT_EQ(laid.layout->first_row, 3u);
  EXPECT_EQ(laid.layout->length_unit, TableUnit::kMillimetre);
  EXPECT_EQ(laid.layout->passed_over, std::vector<std::string>({"Remarks"}));
}

// A letter means what its neighbours make of it.
TEST(TableColumns, LettersTakeTheirMeaningFromNeighbours) {
  const Laid lra = lay("L mm,R,A,CLR\n1,2,3,4\n");
  EXPECT_EQ(lra.layout->rotation, 1u);
  EXPECT_EQ(lra.layout->radius, 3u);
  EXPECT_FALSE(lra.layout->included.has_value());
  const Laid feed = lay("Y mm,B,C,R\n1,2,3,4\n");
  EXPECT_EQ(feed.layout->straight, 0u);
  EXPECT_EQ(feed.layout->rotation, 1u);
  EXPECT_EQ(feed.layout->angle, 2u);
  EXPECT_EQ(feed.layout->radius, 3u);
  EXPECT_EQ(feed.layout->included, false);
  EXPECT_EQ(lay("X mm,Y,Z,R\n1,2,3,4\n").layout->radius, 3u);
  // "Bend" counts bends beside an angle, and is one without.
  EXPECT_EQ(lay("Bend,Length mm,Angle\n1,2,3\n").layout->angle, 2u);
  EXPECT_EQ(lay("Length mm,Bend\n1,2\n").layout->angle, 1u);
}

// Units of a row below the heading; degrees and radians, too.
TEST(TableColumns, ReadsAUnitRow) {
  const Laid laid = lay("Length;Rotation;Bend angle\nin;rad;\xC2\xB0\n1;2;3\n");
  ASSERT_TRUE(laid.layout.ok());
  EXPECT_EQ(laid.layout->length_unit, TableUnit::kInch);
  EXPECT_EQ(laid.layout->rotation_unit, TableUnit::kRadian);
  EXPECT_EQ(laid.layout->angle_unit, TableUnit::kDegree);
  EXPECT_EQ(laid.layout->first_row, 2u);
}

TEST(TableColumns, RefusesContradictions) {
  EXPECT_EQ(lay("X mm,Y mm,Y mm\n1,2,3\n").layout.failure().code, "table.columns");
  EXPECT_EQ(lay("X mm,Y in\n1,2\n").layout.failure().code, "table.columns");
  EXPECT_EQ(lay("X deg,Y deg\n1,2\n").layout.failure().code, "table.columns");
  EXPECT_EQ(lay("nothing;here\n").layout.failure().code, "table.rows");
  EXPECT_EQ(lay("1;2\n", {{"columns", "x"}}).layout.failure().code, "ask.choice");
}

TEST(TableColumns, AsksOnlyWhatIsOpen) {
  EXPECT_EQ(lay("1;2\n").asked, std::vector<std::string>({"ask.columns"}));
  EXPECT_EQ(lay("X;Y\n1;2\n").asked, std::vector<std::string>({"ask.units"}));
  EXPECT_EQ(lay("X mm;Y mm\n1,250;2\n").asked, std::vector<std::string>({"ask.decimal"}));
  EXPECT_TRUE(lay("X mm;Y mm\n1,25;2\n").asked.empty());
}

}  // namespace
}  // namespace bight::exchange

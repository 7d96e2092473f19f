#include "exchange/table_grid.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace bight::exchange {
namespace {

TextGrid cut(const std::string& text) {
  auto grid = TextGrid::cut(text, "f");
  EXPECT_TRUE(grid.ok());
  return std::move(grid).value();
}

// Each separator is found, and commas are left to decimals where something stronger separates.
TEST(TableGrid, FindsTheSeparator) {
  EXPECT_EQ(cut("x;y;z\n1,5;2,5;3,5\n").separator(), Separator::kSemicolon);
  EXPECT_EQ(cut("x\ty\tz\n1,5\t2\t3\n").separator(), Separator::kTab);
  EXPECT_EQ(cut("x,y,z\n1.5,2,3\n").separator(), Separator::kComma);
  EXPECT_EQ(cut("x|y\n1|2\n").separator(), Separator::kBar);
  EXPECT_EQ(cut("bend angle   radius\n90     50\n").separator(), Separator::kGap);
  EXPECT_EQ(cut("1 2 3\n4 5 6\n").separator(), Separator::kSpace);
  EXPECT_EQ(cut("12,5 13,5 0,0\n1,5 -2,5 0,0\n").separator(), Separator::kSpace);
}

// Quotes hold separators, line ends and doubled quotes; elsewhere a quote is an inch mark.
TEST(TableGrid, ReadsQuotes) {
  const TextGrid grid = cut("\"a,b\",\"say \"\"hm\"\"\",\"two\nlines\"\n1.5\",2\",x\n");
  ASSERT_EQ(grid.num_rows(), 2u);
  EXPECT_EQ(grid.cell(0, 0), "a,b");
  EXPECT_EQ(grid.cell(0, 1), "say \"hm\"");
  EXPECT_EQ(grid.cell(0, 2), "two\nlines");
  EXPECT_EQ(grid.cell(1, 0), "1.5\"");
  EXPECT_EQ(grid.cell(1, 1), "2\"");
  EXPECT_EQ(grid.line(1), 3u);
}

// Empty rows vanish, trailing empty cells too, and lines still count from the file.
TEST(TableGrid, SkipsEmptyRows) {
  const TextGrid grid = cut("\n;;\na;b;;\n\n c ; d\n");
  ASSERT_EQ(grid.num_rows(), 2u);
  EXPECT_EQ(grid.num_cells(0), 2u);
  EXPECT_EQ(grid.line(0), 3u);
  EXPECT_EQ(grid.line(1), 5u);
  EXPECT_EQ(grid.cell(1, 1), "d");
  EXPECT_EQ(grid.cell(1, 7), "");
}

TEST(TableGrid, RefusesAnOpenQuoteAndTooManyColumns) {
  EXPECT_EQ(TextGrid::cut("a,\"b\nc", "f").failure().code, "table.quote");
  EXPECT_EQ(TextGrid::cut(std::string(300, ','), "f").failure().code, "table.wide");
}

// Whatever stands in the cells, a table written with semicolons and quotes reads back cell by cell.
RC_GTEST_PROP(TableGridProperty, ReadsBackWhatWasQuoted, ()) {
  const auto rows = *rc::gen::inRange<std::size_t>(1, 5);
  const auto columns = *rc::gen::inRange<std::size_t>(2, 5);
  std::vector<std::string> cells;
  std::string text;
  for (std::size_t i = 0; i < rows * columns; ++i) {
    const auto inner =
        *rc::gen::container<std::string>(rc::gen::elementOf(std::string("a1,;\". ")));
    cells.push_back("<" + inner + ">");
    std::string quoted = "\"";
    for (const char c : cells.back()) quoted += c == '"' ? "\"\"" : std::string(1, c);
    text += quoted + "\"" + (i % columns + 1 == columns ? "\n" : ";");
  }
  const auto grid = TextGrid::cut(text, "f");
  RC_ASSERT(grid.ok());
  RC_ASSERT(grid->num_rows() == rows);
  for (std::size_t i = 0; i < cells.size(); ++i) {
    RC_ASSERT(grid->cell(i / columns, i % columns) == cells[i]);
  }
}

}  // namespace
}  // namespace bight::exchange

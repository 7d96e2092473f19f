#include "base/csv.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace bight::base {
namespace {

std::string code(std::string_view text) {
  const auto table = CsvTable::parse(text, "t.csv");
  return table.ok() ? "" : table.failure().code;
}

// The grammar of RFC 4180 section 2: line ends of both kinds, an absent last one, quoted commas,
// quoted line ends, doubled quotes, spaces kept.
TEST(CsvReference, Rfc4180) {
  const auto table = CsvTable::parse(
      "a,b,c\r\n"
      "1, 2 ,3\n"
      "\"x,y\",\"line\r\nline\",\"say \"\"so\"\"\"\r\n"
      ",\"\",last",
      "t.csv");
  ASSERT_TRUE(table.ok()) << table.failure().text();
  EXPECT_EQ(table->header(), (std::vector<std::string>{"a", "b", "c"}));
  ASSERT_EQ(table->num_rows(), 3u);
  EXPECT_EQ(*table->text(0, "b"), " 2 ");
  EXPECT_EQ(*table->text(1, "a"), "x,y");
  EXPECT_EQ(*table->text(1, "b"), "line\r\nline");
  EXPECT_EQ(*table->text(1, "c"), "say \"so\"");
  EXPECT_EQ(*table->text(2, "a"), "");
  EXPECT_EQ(*table->text(2, "b"), "");
  EXPECT_EQ(*table->text(2, "c"), "last");
}

// Comments, empty lines and a byte order mark are no records, and do not spoil the line numbers.
TEST(Csv, SkipsCommentsAndEmptyLines) {
  const auto table =
      CsvTable::parse("\xEF\xBB\xBF# made, \"for\" a test\n\na,b\n# between\n1,#2\n\n", "t.csv");
  ASSERT_TRUE(table.ok()) << table.failure().text();
  ASSERT_EQ(table->num_rows(), 1u);
  EXPECT_EQ(*table->text(0, "b"), "#2");
  EXPECT_EQ(table->where(0, "b"), "t.csv:5, column b");
}

// Each refusal has its own code and names the line, also behind a field of several lines.
TEST(Csv, RefusesWhatIsNotATable) {
  EXPECT_EQ(code(""), "csv.header");
  EXPECT_EQ(code("# only a comment\n"), "csv.header");
  EXPECT_EQ(code("a,,c\n"), "csv.header");
  EXPECT_EQ(code("a,b,a\n"), "csv.header");
  EXPECT_EQ(code("a,b\n1\n"), "csv.columns");
  EXPECT_EQ(code("a,b\n1,2,\n"), "csv.columns");
  EXPECT_EQ(code("a,b\n1,2\"\n"), "csv.quote");
  EXPECT_EQ(code("a,b\n1,\"2\"x\n"), "csv.quote");
  EXPECT_EQ(code("a,b\n1,\"2\n"), "csv.quote");
  EXPECT_EQ(code("a,b\r1,2\r"), "csv.line_end");
  EXPECT_EQ(code("a,b\n1,2\r"), "csv.line_end");
  EXPECT_EQ(code(std::string_view("a,b\n1,\0\n", 8)), "csv.byte");
  EXPECT_EQ(code(std::string_view("a\n#\0\n", 5)), "csv.byte");
  EXPECT_EQ(CsvTable::parse("a,b\n\"1\n2\",3\n4\n", "t.csv").failure().where, "t.csv:4");
}

// Numbers are read whole or not at all, and the complaint carries file, line and column.
TEST(Csv, Numbers) {
  const auto table = CsvTable::parse("a,b\n1.65,\n-2e3,1.65 mm\n1;2,nan\n 1,1e999\n", "t.csv");
  ASSERT_TRUE(table.ok());
  EXPECT_DOUBLE_EQ(*table->number(0, "a"), 1.65);
  EXPECT_FALSE(table->optional_number(0, "b")->has_value());
  EXPECT_EQ(table->number(0, "b").failure().code, "csv.number");
  EXPECT_DOUBLE_EQ(*table->number(1, "a"), -2000.0);
  EXPECT_EQ(
      table->number(1, "b").failure().text(),
      "t.csv:3, column b: \"1.65 mm\" is not a number (a decimal number with a point, such as "
      "1.65)");
  for (const std::size_t row : {std::size_t{2}, std::size_t{3}}) {
    EXPECT_EQ(table->number(row, "a").failure().code, "csv.number");
    EXPECT_EQ(table->number(row, "b").failure().code, "csv.number");
  }
  EXPECT_EQ(table->text(0, "c").failure().code, "csv.column");
  EXPECT_FALSE(table->has_column("c"));
}

// Whatever text a table holds, writing it with csv_field() and reading it gives it back.
RC_GTEST_PROP(CsvProperty, FieldRoundTrip, ()) {
  const auto num_columns = *rc::gen::inRange<std::size_t>(1, 5);
  const auto letter = rc::gen::element('a', ' ', ',', '"', '\n', '\r', '#', '\xEF', '\xBB', '\xBF');
  const auto rows = *rc::gen::container<std::vector<std::vector<std::string>>>(
      rc::gen::container<std::vector<std::string>>(num_columns,
                                                   rc::gen::container<std::string>(letter)));
  std::string text;
  for (std::size_t column = 0; column < num_columns; ++column) {
    text += (column == 0 ? "" : ",") + std::string("c") + std::to_string(column);
  }
  for (const auto& row : rows) {
    text += '\n';
    for (std::size_t column = 0; column < num_columns; ++column) {
      text += (column == 0 ? "" : ",") + csv_field(row[column]);
    }
  }
  const auto table = CsvTable::parse(text, "t.csv");
  RC_ASSERT(table.ok());
  RC_ASSERT(table->num_rows() == rows.size());
  for (std::size_t row = 0; row < rows.size(); ++row) {
    for (std::size_t column = 0; column < num_columns; ++column) {
      RC_ASSERT(*table->text(row, "c" + std::to_string(column)) == rows[row][column]);
    }
  }
}

}  // namespace
}  // namespace bight::base

#include "exchange/table_number.h"

#include <gtest/gtest.h>

namespace bight::exchange {
namespace {

using base::DecimalMark;

double mm(std::string_view cell, DecimalMark mark = DecimalMark::kPoint,
          TableUnit unit = TableUnit::kMillimetre) {
  const auto length_mm = cell_length_mm(cell, unit, mark);
  EXPECT_TRUE(length_mm.ok()) << cell << ": " << length_mm.failure().text();
  return length_mm.ok() ? *length_mm : -1.0;
}

// What a number's marks say, and when they say nothing.
TEST(TableNumber, HearsTheMark) {
  EXPECT_EQ(mark_hint("12.5"), MarkHint::kPoint);
  EXPECT_EQ(mark_hint("12,5"), MarkHint::kComma);
  EXPECT_EQ(mark_hint("1.234,5"), MarkHint::kComma);
  EXPECT_EQ(mark_hint("1,234.5"), MarkHint::kPoint);
  EXPECT_EQ(mark_hint("1.234.567"), MarkHint::kComma);
  EXPECT_EQ(mark_hint("0.500"), MarkHint::kPoint);
  EXPECT_EQ(mark_hint("1250.000"), MarkHint::kPoint);
  EXPECT_EQ(mark_hint("1.250"), MarkHint::kPoints3);
  EXPECT_EQ(mark_hint("-12,250"), MarkHint::kCommas3);
  EXPECT_EQ(mark_hint("1250"), MarkHint::kNone);
  EXPECT_EQ(mark_hint("Fig. 2"), MarkHint::kNone);
}

// Thousands are set off by spaces or the other mark, three digits at a time.
TEST(TableNumber, ReadsThousands) {
  EXPECT_EQ(mm("1 234,5", DecimalMark::kComma), 1234.5);
  EXPECT_EQ(mm("1.234,5", DecimalMark::kComma), 1234.5);
  EXPECT_EQ(mm("1,234.5"), 1234.5);
  EXPECT_EQ(mm("12 345"), 12345.0);
  EXPECT_FALSE(cell_length_mm("12 34", TableUnit::kMillimetre, DecimalMark::kPoint).ok());
}

// A unit in the heading counts, one in the cell counts more.
TEST(TableNumber, ReadsUnits) {
  EXPECT_EQ(mm("1.5", DecimalMark::kPoint, TableUnit::kInch), 38.1);
  EXPECT_EQ(mm("2", DecimalMark::kPoint, TableUnit::kCentimetre), 20.0);
  EXPECT_EQ(mm("0.25", DecimalMark::kPoint, TableUnit::kMetre), 250.0);
  EXPECT_EQ(mm("1-1/2\""), 38.1);
  EXPECT_EQ(mm("1 1/2 in"), 38.1);
  EXPECT_EQ(mm("12 mm", DecimalMark::kPoint, TableUnit::kInch), 12.0);
  EXPECT_EQ(mm("3/4", DecimalMark::kPoint, TableUnit::kInch), 19.05);
  EXPECT_EQ(mm("1.2E+03"), 1200.0);
  EXPECT_DOUBLE_EQ(cell_angle("1.5707963267948966", TableUnit::kRadian, DecimalMark::kPoint)->deg(),
                   90.0);
  EXPECT_DOUBLE_EQ(cell_angle("67,5\xC2\xB0", TableUnit::kDegree, DecimalMark::kComma)->deg(),
                   67.5);
}

TEST(TableNumber, RefusesWhatIsNoLength) {
  for (const char* cell : {"nan", "inf", "12x", "1e400", "12 ells", "1,5"}) {
    EXPECT_FALSE(cell_length_mm(cell, TableUnit::kMillimetre, DecimalMark::kPoint).ok()) << cell;
  }
  EXPECT_EQ(cell_length_mm("1e7", TableUnit::kMillimetre, DecimalMark::kPoint).failure().code,
            "length.range");
  EXPECT_EQ(cell_length_mm("9999999", TableUnit::kMillimetre, DecimalMark::kPoint).failure().code,
            "length.range");
  EXPECT_FALSE(cell_angle("99999999", TableUnit::kDegree, DecimalMark::kPoint).ok());
}

TEST(TableNumber, TellsNumbersFromWords) {
  for (const char* cell :
       {"1", "-1.5", "1-1/2", "12 mm", "3' 4\"", "90\xC2\xB0", "\xC2\xBD", "1e3"}) {
    EXPECT_TRUE(looks_numeric(cell)) << cell;
  }
  for (const char* cell : {"", "x", "P1", "1st bend", "-", "Length 5"}) {
    EXPECT_FALSE(looks_numeric(cell)) << cell;
  }
  EXPECT_TRUE(is_blank(" - "));
  EXPECT_FALSE(is_blank("-1"));
  EXPECT_EQ(own_unit("12 mm"), TableUnit::kMillimetre);
  EXPECT_EQ(own_unit("1-1/2\""), TableUnit::kInch);
  EXPECT_FALSE(own_unit("12").has_value());
}

}  // namespace
}  // namespace bight::exchange

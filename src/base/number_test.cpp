#include "base/number.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <cstring>
#include <limits>

namespace bight::base {
namespace {

TEST(ParseNumber, ReadsDecimals) {
  EXPECT_EQ(*parse_number("12.5"), 12.5);
  EXPECT_EQ(*parse_number(" -0.25\t"), -0.25);
  EXPECT_EQ(*parse_number("+3"), 3.0);
  EXPECT_EQ(*parse_number(".5"), 0.5);
  EXPECT_EQ(*parse_number("1.5e-3"), 0.0015);
  EXPECT_EQ(*parse_number("2E+2"), 200.0);
  EXPECT_EQ(*parse_number("12,5", DecimalMark::kComma), 12.5);
  EXPECT_FALSE(std::signbit(*parse_number("-0")));
}

TEST(ParseNumber, RefusesEverythingElse) {
  for (const char* text :
       {"",    " ",   "-",    "+",        ".",   "5.",   "-.",  "1e",  "1e+",  "e5",  "0x10",
        "nan", "inf", "-inf", "infinity", "1 2", "12mm", "--1", "+-1", "1.5f", "1_0", "١"}) {
    const auto read = parse_number(text);
    ASSERT_FALSE(read.ok()) << text << " was read as " << *read;
    EXPECT_EQ(read.failure().code, "number.text") << text;
  }
  for (const char* text : {"12,5", "1,234.5", "1.2.3"}) {
    ASSERT_FALSE(parse_number(text).ok()) << text;
    EXPECT_EQ(parse_number(text).failure().code, "number.comma") << text;
  }
  EXPECT_EQ(parse_number("12.5", DecimalMark::kComma).failure().code, "number.comma");
  EXPECT_EQ(parse_number("1e999").failure().code, "number.range");
  EXPECT_EQ(parse_number("1e-999").failure().code, "number.range");
}

TEST(ParseWholeNumber, ReadsDigitsOnly) {
  EXPECT_EQ(*parse_whole_number("12"), 12);
  EXPECT_EQ(*parse_whole_number(" -7 "), -7);
  EXPECT_EQ(*parse_whole_number("+7"), 7);
  EXPECT_EQ(*parse_whole_number("9223372036854775807"), std::numeric_limits<std::int64_t>::max());
  for (const char* text : {"", "-", "+", "+-7", "1.0", "1e3", "7a", "0x7", "1 2"}) {
    ASSERT_FALSE(parse_whole_number(text).ok()) << text;
    EXPECT_EQ(parse_whole_number(text).failure().code, "number.text") << text;
  }
  EXPECT_EQ(parse_whole_number("9223372036854775808").failure().code, "number.range");
}

TEST(PrintNumber, ShortestText) {
  EXPECT_EQ(print_number(0.1), "0.1");
  EXPECT_EQ(print_number(38.1), "38.1");
  EXPECT_EQ(print_number(1e6), "1000000");
  EXPECT_EQ(print_number(-0.0), "0");
  EXPECT_EQ(print_number(12.5, DecimalMark::kComma), "12,5");
  EXPECT_EQ(print_number(std::nan("")), "?");
}

TEST(PrintDecimal, FixedDigits) {
  // A half goes away from zero: 519.05 is a little less, 1.25 is one; and what differs by less than
  // files tell prints alike.
  EXPECT_EQ(print_decimal(1.25, 1), "1.3");
  EXPECT_EQ(print_decimal(-1.25, 1), "-1.3");
  EXPECT_EQ(print_decimal(0.5, 0), "1");
  EXPECT_EQ(print_decimal(519.05, 1), "519.0");
  EXPECT_EQ(print_decimal(519.05 + 1e-12, 1), "519.0");
  EXPECT_EQ(print_decimal(519.05 - 1e-12, 1), "519.0");
  EXPECT_EQ(print_decimal(-0.04, 1), "0.0");
  EXPECT_EQ(print_decimal(-0.06, 1), "-0.1");
  EXPECT_EQ(print_decimal(2.0, 0), "2");
  EXPECT_EQ(print_decimal(2.5, 2, DecimalMark::kComma), "2,50");
  EXPECT_EQ(print_decimal(std::numeric_limits<double>::infinity(), 2), "?");
}

// The C library's reader, another code than the one under test, must find the same double.
RC_GTEST_PROP(NumberProperty, PrintedIsReadBackExactly, (std::uint64_t bits, bool plain)) {
  double value = 0.0;
  std::memcpy(&value, &bits, sizeof value);
  if (plain) value = static_cast<double>(static_cast<std::int64_t>(bits) >> 20) * 1e-6;
  RC_PRE(std::isfinite(value));
  for (const DecimalMark mark : {DecimalMark::kPoint, DecimalMark::kComma}) {
    const auto read = parse_number(print_number(value, mark), mark);
    RC_ASSERT(read.ok());
    RC_ASSERT(*read == value);
  }
  RC_ASSERT(std::strtod(print_number(value).c_str(), nullptr) == value);
}

}  // namespace
}  // namespace bight::base

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "base/length.h"

namespace bight::base {
namespace {

using Form = LengthStyle::Form;

std::string printed(double length_mm, const LengthStyle& style = {}) {
  return print_length(length_mm, style).text;
}

TEST(PrintLength, Millimetres) {
  EXPECT_EQ(printed(38.1), "38.1 mm");
  EXPECT_EQ(printed(38.14), "38.1 mm");
  EXPECT_EQ(printed(38.1, {.decimals = 0}), "38 mm");
  EXPECT_EQ(printed(38.1, {.decimals = 3, .with_unit = false}), "38.100");
  EXPECT_EQ(printed(38.1, {.decimal_mark = DecimalMark::kComma}), "38,1 mm");
  // Millimetres have no fractions.
  EXPECT_EQ(printed(38.1, {.form = Form::kFraction}), "38.1 mm");
}

TEST(PrintLength, NoNegativeZero) {
  EXPECT_EQ(printed(-0.04), "0.0 mm");
  EXPECT_EQ(printed(-0.0), "0.0 mm");
  EXPECT_EQ(printed(-0.1, {.unit = LengthUnit::kInch, .form = Form::kFraction}), "0\"");
  EXPECT_EQ(printed(-0.01, {.unit = LengthUnit::kInch}), "0.0\"");
}

TEST(PrintLength, DecimalInches) {
  const LengthStyle style{.unit = LengthUnit::kInch, .decimals = 3};
  EXPECT_EQ(printed(38.1, style), "1.500\"");
  EXPECT_EQ(printed(-12.7, style), "-0.500\"");
  EXPECT_EQ(printed(40.5 * 25.4, {.unit = LengthUnit::kInch, .decimals = 2, .feet = true}),
            "3' 4.50\"");
}

TEST(PrintLength, FractionsInLowestTerms) {
  const LengthStyle style{.unit = LengthUnit::kInch, .form = Form::kFraction, .denominator = 32};
  EXPECT_EQ(printed(38.1, style), "1-1/2\"");
  EXPECT_EQ(printed(0.625 * 25.4, style), "5/8\"");
  EXPECT_EQ(printed(-0.625 * 25.4, style), "-5/8\"");
  EXPECT_EQ(printed(25.4 * 31 / 32, style), "31/32\"");
  EXPECT_EQ(printed(3 * 25.4, style), "3\"");
}

// 11-31/32 in to sixteenths lies half way: the whole goes to 12 in, and into feet.
TEST(PrintLength, CarriesIntoInchesAndFeet) {
  LengthStyle style{.unit = LengthUnit::kInch, .form = Form::kFraction};
  const double length_mm = 25.4 * (11.0 + 31.0 / 32.0);
  EXPECT_EQ(printed(length_mm, style), "12\"");
  style.feet = true;
  EXPECT_EQ(printed(length_mm, style), "1' 0\"");
  EXPECT_EQ(printed(25.4 * 35.99, style), "3' 0\"");
  EXPECT_EQ(printed(25.4 * 11.99, {.unit = LengthUnit::kInch, .decimals = 1, .feet = true}),
            "1' 0.0\"");
}

TEST(PrintLength, FeetAndInches) {
  LengthStyle style{.unit = LengthUnit::kInch, .form = Form::kFraction, .feet = true};
  EXPECT_EQ(printed(40.625 * 25.4, style), "3' 4-5/8\"");
  EXPECT_EQ(printed(-40.625 * 25.4, style), "-3' 4-5/8\"");
  EXPECT_EQ(printed(36.625 * 25.4, style), "3' 0-5/8\"");
  EXPECT_EQ(printed(4 * 25.4, style), "4\"");
  style.with_unit = false;
  EXPECT_EQ(printed(4 * 25.4, style), "4");
  EXPECT_EQ(printed(40 * 25.4, style), "3' 4\"");
}

TEST(PrintLength, RemainderIsWhatRoundingLeft) {
  const auto mm = print_length(38.14);
  EXPECT_NEAR(mm.remainder_mm, 0.04, 1e-12);
  const auto down = print_length(-38.14);
  EXPECT_NEAR(down.remainder_mm, -0.04, 1e-12);
  const LengthStyle style{.unit = LengthUnit::kInch, .form = Form::kFraction};
  EXPECT_NEAR(print_length(25.4 * 1.49, style).remainder_mm, -0.254, 1e-12);
  EXPECT_EQ(print_length(38.1, style).remainder_mm, 0.0);
}

TEST(PrintLength, OddStylesTakeTheNextLower) {
  EXPECT_EQ(printed(25.4 * 0.0625,
                    {.unit = LengthUnit::kInch, .form = Form::kFraction, .denominator = 20}),
            "1/16\"");
  EXPECT_EQ(printed(25.4 * 0.0625,
                    {.unit = LengthUnit::kInch, .form = Form::kFraction, .denominator = 0}),
            "0\"");
  EXPECT_EQ(
      printed(25.4 / 128, {.unit = LengthUnit::kInch, .form = Form::kFraction, .denominator = 999}),
      "1/128\"");
  EXPECT_EQ(printed(1.26, {.decimals = -4}), "1 mm");
}

TEST(PrintLength, NoNumberPrintsAQuestionMark) {
  EXPECT_EQ(printed(std::nan("")), "?");
  EXPECT_EQ(printed(-std::numeric_limits<double>::infinity()), "?");
  EXPECT_EQ(printed(1e300, {.unit = LengthUnit::kInch}), "?");
  EXPECT_TRUE(std::isnan(print_length(std::nan("")).remainder_mm));
}

}  // namespace
}  // namespace bight::base

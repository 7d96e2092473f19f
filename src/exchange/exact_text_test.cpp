#include "exchange/exact_text.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <charconv>
#include <cmath>

namespace bight::exchange {
namespace {

double value_of(const std::string& text) {
  double value = NAN;
  std::from_chars(text.data(), text.data() + text.size(), value);
  return value;
}

// Round numbers stay round, whatever the last bit of the double is.
TEST(ExactText, StaysShort) {
  EXPECT_EQ(exact_degrees(base::Angle::degrees(90)), "90");
  EXPECT_EQ(exact_degrees(base::Angle::degrees(47.9)), "47.9");
  EXPECT_EQ(exact_length(38.1, base::LengthUnit::kInch), "1.5");
  EXPECT_EQ(exact_length(38.1, base::LengthUnit::kMillimetre), "38.1");
  EXPECT_EQ(tidied(324.99999999999994), 325.0);
  EXPECT_FALSE(std::signbit(tidied(-1e-12)));
}

// Degrees that a file gave come back as the very same angle; so do inches.
RC_GTEST_PROP(ExactTextProperty, ReadsBackTheSame, ()) {
  const double typed = *rc::gen::inRange(-3600000, 3600000) / 1e4;
  const base::Angle angle = base::Angle::degrees(typed);
  RC_ASSERT(base::Angle::degrees(value_of(exact_degrees(angle))) == angle);
  const double length_mm = from_inches_mm(typed);
  RC_ASSERT(from_inches_mm(value_of(exact_length(length_mm, base::LengthUnit::kInch))) ==
            length_mm);
  RC_ASSERT(value_of(exact_length(typed, base::LengthUnit::kMillimetre)) == typed);
}

// Any angle at all is off by no more than the last digit.
RC_GTEST_PROP(ExactTextProperty, AnyAngleIsKept, ()) {
  const double rad = *rc::gen::inRange(-100000000, 100000000) / 1.7e7;
  const double back_rad =
      base::Angle::degrees(value_of(exact_degrees(base::Angle::radians(rad)))).rad();
  RC_ASSERT(std::abs(back_rad - rad) <= 4e-16 * std::abs(rad));
}

}  // namespace
}  // namespace bight::exchange

#include "exchange/exact_value.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "exchange/fields.h"

namespace bight::exchange {
namespace {

// Any length read back from its value is the same double, in either unit.
RC_GTEST_PROP(ExactValueProperty, LengthsComeBack, ()) {
  const int number = *rc::gen::inRange(-1000000, 1000000);
  const double length_mm = number / (*rc::gen::arbitrary<bool>() ? 1e3 : 7.0);
  for (const auto unit : {base::LengthUnit::kMillimetre, base::LengthUnit::kInch}) {
    const Document document = document_of({{"a", length_value(length_mm, unit)}}, "p");
    Fields fields(document, {unit, base::DecimalMark::kPoint});
    RC_ASSERT(fields.length_mm("a") == std::optional(length_mm));
  }
}

// Numbers are as short as typed, whole ones without a fraction.
TEST(ExactValue, StaysShort) {
  EXPECT_EQ(length_value(38.1, base::LengthUnit::kInch).dump(), "1.5");
  EXPECT_EQ(length_value(300.0, base::LengthUnit::kMillimetre).dump(), "300");
  EXPECT_EQ(number_value(0.2).dump(), "0.2");
  EXPECT_EQ(number_value(-0.0).dump(), "0");
}

}  // namespace
}  // namespace bight::exchange

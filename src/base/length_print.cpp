#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>

#include "base/exact_ratio.h"
#include "base/length.h"

namespace bight::base {

namespace {

constexpr double kInch_mm = 25.4;
constexpr double kPrintable_mm = 1e12;  // a million kilometres: counts of steps stay whole numbers

double power_of_ten(int exponent) {
  double power = 1.0;
  for (int i = 0; i < exponent; ++i) power *= 10.0;
  return power;
}

// "3-1/2", "1/2", "3" for a count of 1/denominator.
std::string fraction_text(std::int64_t count, std::int64_t denominator, bool always_whole) {
  const std::int64_t whole = count / denominator;
  std::int64_t num = count % denominator;
  if (num == 0) return std::to_string(whole);
  while (num % 2 == 0) {
    num /= 2;
    denominator /= 2;
  }
  if (whole == 0 && !always_whole) return fmt::format("{}/{}", num, denominator);
  return fmt::format("{}-{}/{}", whole, num, denominator);
}

// A length as a whole number of equal parts of an inch.
struct InchSteps {
  std::int64_t count = 0;  // without sign
  std::int64_t per_inch = 1;
};

std::string inches_text(const InchSteps& steps, const LengthStyle& style, bool after_feet) {
  if (style.form == LengthStyle::Form::kFraction) {
    return fraction_text(steps.count, steps.per_inch, after_feet);
  }
  const int decimals = std::clamp(style.decimals, 0, 12);
  std::string text = std::to_string(steps.count / steps.per_inch);
  if (decimals == 0) return text;
  text += style.decimal_mark == DecimalMark::kComma ? ',' : '.';
  return text + fmt::format("{:0{}}", steps.count % steps.per_inch, decimals);
}

PrintedLength print_inches(double length_mm, const LengthStyle& style) {
  // With many decimals a long length would overflow the count; a double has no such digits anyway.
  int decimals = std::clamp(style.decimals, 0, 12);
  const double size_in = std::abs(length_mm) / kInch_mm;
  while (decimals > 0 && size_in * power_of_ten(decimals) > 4e15) --decimals;
  LengthStyle used = style;
  used.decimals = decimals;
  const bool fraction = style.form == LengthStyle::Form::kFraction;
  const double per_inch =
      fraction ? static_cast<double>(
                     std::bit_floor(static_cast<unsigned>(std::clamp(style.denominator, 1, 128))))
               : power_of_ten(decimals);
  InchSteps steps{std::llround(size_in * per_inch), static_cast<std::int64_t>(per_inch)};

  PrintedLength printed;
  // 25.4 = 127/5, rounded once, just as parse_length_mm will read it.
  const double size_printed_mm =
      ExactRatio{static_cast<Wide>(steps.count) * 127, static_cast<Wide>(steps.per_inch) * 5}
          .nearest();
  printed.remainder_mm = length_mm - std::copysign(size_printed_mm, length_mm);
  if (length_mm < 0.0 && steps.count != 0) printed.text = "-";
  const std::int64_t foot = 12 * steps.per_inch;
  const bool feet = style.feet && steps.count >= foot;
  if (feet) {
    printed.text += fmt::format("{}' ", steps.count / foot);
    steps.count %= foot;
  }
  printed.text += inches_text(steps, used, feet);
  if (style.with_unit || feet) printed.text += '"';
  return printed;
}

}  // namespace

PrintedLength print_length(double length_mm, const LengthStyle& style) {
  if (!std::isfinite(length_mm) || std::abs(length_mm) > kPrintable_mm) {
    return {"?", std::numeric_limits<double>::quiet_NaN()};
  }
  if (style.unit == LengthUnit::kInch) return print_inches(length_mm, style);
  PrintedLength printed;
  const std::string digits = print_decimal(length_mm, style.decimals);
  printed.remainder_mm = length_mm - parse_number(digits).value();
  printed.text = print_decimal(length_mm, style.decimals, style.decimal_mark);
  if (style.with_unit) printed.text += " mm";
  return printed;
}

}  // namespace bight::base

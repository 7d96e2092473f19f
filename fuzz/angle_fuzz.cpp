// Any bytes as an angle: never a crash, and what is read prints as a text that reads the same.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "base/angle_text.h"

using namespace bight::base;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size < 1) return 0;
  const std::uint8_t choice = data[0];
  const std::string_view text(reinterpret_cast<const char*>(data + 1), size - 1);
  const DecimalMark mark = choice & 1 ? DecimalMark::kComma : DecimalMark::kPoint;
  const auto read = parse_angle(text, mark);
  if (!read.ok()) {
    BIGHT_CHECK(!read.failure().message.empty() && read.failure().code.starts_with("angle."));
    return 0;
  }
  BIGHT_CHECK(std::abs(read->deg()) <= kLargestAngle_deg);
  for (const auto form :
       {AngleStyle::Form::kDegrees, AngleStyle::Form::kMinutes, AngleStyle::Form::kSeconds}) {
    const PrintedAngle printed = print_angle(*read, {.form = form,
                                                     .decimals = choice >> 5,
                                                     .with_unit = (choice & 2) != 0,
                                                     .decimal_mark = mark});
    const auto again = parse_angle(printed.text, mark);
    // Rounding up an angle at the limit may step over it.
    BIGHT_CHECK(again.ok() || std::abs(read->deg()) > kLargestAngle_deg - 1.0);
    if (again.ok()) {
      BIGHT_CHECK(std::abs((*again + printed.remainder - *read).deg()) <= 1e-9);
    }
  }
  return 0;
}

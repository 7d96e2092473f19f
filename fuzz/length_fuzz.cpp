// Any bytes as a length: never a crash, and what is read prints as a text that reads the same.
#include "base/length.h"

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string_view>

using namespace bight::base;

namespace {

void must_agree(double length_mm, const LengthStyle& style) {
  const PrintedLength printed = print_length(length_mm, style);
  const auto again = parse_length_mm(printed.text, {style.unit, style.decimal_mark});
  // Rounding up a length at the limit may step over it.
  const bool at_limit = std::abs(length_mm) > kLongestLength_mm - 26.0;
  BIGHT_CHECK(again.ok() || at_limit);
  if (again.ok()) BIGHT_CHECK(std::abs(*again + printed.remainder_mm - length_mm) <= 1e-9);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size < 1) return 0;
  const std::uint8_t choice = data[0];
  const std::string_view text(reinterpret_cast<const char*>(data + 1), size - 1);
  const LengthRules rules{choice & 1 ? LengthUnit::kInch : LengthUnit::kMillimetre,
                          choice & 2 ? DecimalMark::kComma : DecimalMark::kPoint};
  const auto read = parse_length_mm(text, rules);
  if (!read.ok()) {
    BIGHT_CHECK(!read.failure().message.empty() && read.failure().code.starts_with("length."));
    return 0;
  }
  BIGHT_CHECK(std::abs(*read) <= kLongestLength_mm);
  const int denominator = 1 << (choice >> 5);
  must_agree(*read, {.decimals = choice >> 5, .decimal_mark = rules.decimal_mark});
  for (const auto form : {LengthStyle::Form::kDecimal, LengthStyle::Form::kFraction}) {
    must_agree(*read, {.unit = LengthUnit::kInch,
                       .form = form,
                       .decimals = choice >> 5,
                       .denominator = denominator,
                       .feet = (choice & 4) != 0,
                       .with_unit = (choice & 8) != 0,
                       .decimal_mark = rules.decimal_mark});
  }
  return 0;
}

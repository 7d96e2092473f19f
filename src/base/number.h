// Plain numbers as text: strict reading, shortest printing.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "base/result.h"

namespace bight::base {

// What stands between the whole part and the decimals. There are never thousands separators.
enum class DecimalMark { kPoint, kComma };

// Reads a decimal number: [sign] digits [mark digits] [e [sign] digits], or mark digits. The whole
// text counts; spaces and tabs around it do not. A mark needs digits after it: "5." is refused
// because something may be lost. Correctly rounded to the nearest double.
//
// Failure codes: number.text (not a number, hex, nan, inf, stray text), number.comma (the other
// decimal mark, or two marks), number.range (too large or too small for a double).
Result<double> parse_number(std::string_view text, DecimalMark mark = DecimalMark::kPoint);

// Reads a whole number: [sign] digits, nothing else. Failure codes: number.text, number.range.
Result<std::int64_t> parse_whole_number(std::string_view text);

// The shortest text that parse_number reads back as the same double. Written out without an
// exponent from 1e-6 up to 1e15; never "-0". `value` must be finite; otherwise "?".
std::string print_number(double value, DecimalMark mark = DecimalMark::kPoint);

// Exactly `decimals` digits after the mark (clamped to 0..12), never "-0.0"; "?" for what is not
// finite. Of the value to nine decimals, as files have it, and halves away from zero, as browsers.
std::string print_decimal(double value, int decimals, DecimalMark mark = DecimalMark::kPoint);

}  // namespace bight::base

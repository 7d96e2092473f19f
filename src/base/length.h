// Lengths as people type and print them: millimetres, inches with fractions, feet and inches.
#pragma once

#include <string>
#include <string_view>

#include "base/number.h"
#include "base/result.h"

namespace bight::base {

enum class LengthUnit { kMillimetre, kInch };

// What a number without a unit means, and which decimal mark is in force.
struct LengthRules {
  LengthUnit default_unit = LengthUnit::kMillimetre;
  DecimalMark decimal_mark = DecimalMark::kPoint;
};

// No length in a workshop is longer than this, 1 km: beyond it a unit or a digit is wrong.
inline constexpr double kLongestLength_mm = 1e6;

// The length in millimetres, rounded once, to the nearest double; 1 in = 25.4 mm exactly
// (international yard and pound agreement, 1959). Capitals do not matter. Reads
//   38.1   38.1 mm   12 cm   1.2 m              metric; no fractions
//   1.5"   1.5 in   3/4 in   1-1/2 in   1 1/2"   1½"   inches; fractions below one, over 2 to 128
//   3'   3.5 ft   3' 4-5/8"   3ft 4in   5'-6"    feet; the inches after them marked, and below 12
// One sign at the very start counts for the whole: -11'2" is -134 in. A bare fraction is inches
// where inches are the rule and is asked about where millimetres are. What could be read two ways
// is refused, never guessed.
//
// Failure codes: length.text (empty, not a length, stray text, exponent, nan, inf),
// length.comma (the other decimal mark, thousands separators), length.fraction (not below one, over
// something else than 2, 4, ... 128, or not of an inch), length.unit (unknown unit, a bare fraction
// among millimetres, inches after feet without their mark), length.range (beyond
// kLongestLength_mm, too many digits, 12 or more inches after feet).
Result<double> parse_length_mm(std::string_view text, const LengthRules& rules = {});

// How to print a length.
struct LengthStyle {
  enum class Form { kDecimal, kFraction };
  LengthUnit unit = LengthUnit::kMillimetre;
  Form form = Form::kDecimal;  // kFraction is for inches; millimetres are always decimal
  int decimals = 1;            // 0 to 12
  int denominator = 16;        // 1, 2, 4, ... 128; anything else takes the next lower of these
  bool feet = false;           // inches only: from 12 in on, feet and inches
  bool with_unit = true;       // feet carry their marks regardless
  DecimalMark decimal_mark = DecimalMark::kPoint;
};

struct PrintedLength {
  std::string text;
  double remainder_mm = 0.0;  // what was printed plus this is the length
};

// Rounds to the style's step and prints: 38.1 mm, 1.500", 1-1/2", 3' 4-5/8", -5/8". The whole is
// rounded before it is split, so 11-31/32" to sixteenths prints 12". Never "-0". parse_length_mm
// reads the text back (with the style's unit and decimal mark as rules), unless rounding took it
// beyond kLongestLength_mm. A length that is not finite, or beyond a million kilometres, prints "?"
// with a remainder of nan.
PrintedLength print_length(double length_mm, const LengthStyle& style = {});

}  // namespace bight::base

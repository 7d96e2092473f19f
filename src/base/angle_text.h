// Angles as people type and print them: decimal degrees, degrees with minutes and seconds.
#pragma once

#include <string>
#include <string_view>

#include "base/angle.h"
#include "base/number.h"
#include "base/result.h"

namespace bight::base {

// No angle asked for in a workshop is larger: a hundred turns of a coil.
inline constexpr double kLargestAngle_deg = 36000.0;

// Reads degrees unless radians are said:
//   90   90.5 deg   90.5°   67d30'   67°30'15"   67 deg 30 min   -0°30'   1.57 rad
// Minutes and seconds are marked, below 60 and follow whole degrees and whole minutes; one sign at
// the very start counts for the whole. Capitals do not matter. Worked out exactly in degrees, then
// rounded to a double.
//
// Failure codes: angle.text (empty, not an angle, stray text, exponent, nan, inf), angle.comma (the
// other decimal mark, thousands separators), angle.unit (unknown unit; minutes or seconds without
// their mark or without degrees), angle.range (minutes or seconds of 60 or more, beyond
// kLargestAngle_deg, too many digits).
Result<Angle> parse_angle(std::string_view text, DecimalMark mark = DecimalMark::kPoint);

// How to print an angle.
struct AngleStyle {
  enum class Form { kDegrees, kMinutes, kSeconds };
  Form form = Form::kDegrees;
  int decimals = 1;       // of the last part printed, 0 to 9
  bool with_unit = true;  // decimal degrees only; minutes and seconds always carry their marks
  DecimalMark decimal_mark = DecimalMark::kPoint;
};

struct PrintedAngle {
  std::string text;
  Angle remainder;  // what was printed plus this is the angle
};

// Rounds the whole to the style's step, then splits it, so 59.9996" carries into the minutes:
// 67.5°, 67°30', 67°30'15", -0°30'. Never "-0". parse_angle reads the text back. An angle that is
// not finite, or beyond a million turns, prints "?" with a remainder of nan.
PrintedAngle print_angle(Angle angle, const AngleStyle& style = {});

}  // namespace bight::base

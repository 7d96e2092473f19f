// Numbers written so that they read back as they were, and as short as that allows.
#pragma once

#include <string>

#include "base/angle.h"
#include "base/length.h"

namespace bight::exchange {

// Rounded to a billionth of the unit, which hides the last bits of a double: 325, not
// 324.99999999999994. Never -0.
double tidied(double value);

// Inches as typed in decimals, rounded once: 1.5 in are 38.1 mm, which 1.5 * 25.4 misses by the
// last digit. @pre finite.
double from_inches_mm(double number);

// The number of inches of as few digits as can be that reads back as the same millimetres; the
// nearest one when none does. @pre finite.
double exact_inches(double length_mm);

// The length as a number of the unit, shortest text that reads back as the same millimetres; when
// no number of inches does, the nearest one (off by at most the last digit of a double).
// @pre finite.
std::string exact_length(double length_mm, base::LengthUnit unit);

// The number of as few digits as can be that, times the factor, is the value; the nearest when none
// is. @pre finite, factor not 0.
double exact_quotient(double value, double factor);

// The angle in degrees, likewise, as a number and as text. @pre finite.
double exact_deg(base::Angle angle);
std::string exact_degrees(base::Angle angle);

}  // namespace bight::exchange

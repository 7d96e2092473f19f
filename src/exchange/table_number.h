// Numbers in cells: which mark parts the decimals, and the values.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "base/angle.h"
#include "base/length.h"
#include "base/result.h"

namespace bight::exchange {

// What one cell says about the decimal mark in force.
enum class MarkHint {
  kNone,     // no mark at all, or no number
  kPoint,    // the point parts the decimals: "12.5", "1,234.5", "1.234" beside "0.500"
  kComma,    // the comma does
  kPoints3,  // a point and exactly three digits after one to three: decimals or thousands
  kCommas3   // the same with a comma
};

// "1.234.567,8" and "0,5" say comma; "1,250" alone says nothing.
MarkHint mark_hint(std::string_view cell);

// Units a heading or a cell can name.
enum class TableUnit { kMillimetre, kCentimetre, kMetre, kInch, kFoot, kDegree, kRadian };

// The length [mm] or angle in a cell. Thousands are set off by spaces, or by the mark that is not
// the decimal one, in groups of three. A cell may name its own unit; else `unit` counts.
// Failure codes: those of base/length.h and base/angle_text.h; number.text, number.range.
base::Result<double> cell_length_mm(std::string_view cell, TableUnit unit, base::DecimalMark mark);
base::Result<base::Angle> cell_angle(std::string_view cell, TableUnit unit, base::DecimalMark mark);

// A cell that holds a number, a length or an angle in any notation we read.
bool looks_numeric(std::string_view cell);
// The unit a length cell names itself: "12 mm", "1-1/2\"".
std::optional<TableUnit> own_unit(std::string_view cell);
// Nothing in it: empty, or only dashes.
bool is_blank(std::string_view cell);

}  // namespace bight::exchange

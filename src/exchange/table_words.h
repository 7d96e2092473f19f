// Headings of bend tables and point lists in the languages of the trade.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "exchange/table_number.h"

namespace bight::exchange {

// What a column holds.
enum class Role {
  kUnknown,
  kNumber,  // of the point or bend
  kPart,    // name or number of the part the row belongs to
  kX,
  kY,
  kZ,
  kRadius,        // of the centreline
  kInsideRadius,  // to the inside of the tube
  kStraight,
  kRotation,
  kAngle,      // bend or included angle: the heading does not say
  kBendAngle,  // change of direction
  kIncluded,   // 180 degrees less the change of direction
  kBendWord,   // "bend": its angle, or its number beside another angle
  kLetterR,    // "R": radius or rotation, by the columns beside it
  kLetterB,    // "B" and "C": rotation and bend angle beside a feed "Y", else unknown
  kLetterC
};

struct Heading {
  Role role = Role::kUnknown;
  std::optional<TableUnit> unit;  // "[mm]", "(in)", "deg"
  std::optional<bool> absolute;   // of a rotation: "absolute", "relative"
};

// English, German, French, Spanish, Italian, Dutch and Polish; capitals, accents and punctuation do
// not matter. Words of the trade as used in workshops (common practice, no source).
Heading read_heading(std::string_view cell);

// The unit a folded word names: "mm", "inch", "zoll", "deg", "grad" …
std::optional<TableUnit> unit_of_word(std::string_view word);

// "mm", "cm", "m", "in", "ft", "deg", "rad".
std::string_view word(TableUnit unit);
bool is_length(TableUnit unit);

}  // namespace bight::exchange

// The plan as it is typed into a bender's keypad: bend by bend, in that machine's columns.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/length.h"
#include "base/result.h"
#include "planning/plan.h"

namespace bight::planning {

// What a keypad may ask for at each bend.
enum class KeypadColumn {
  kBend,        // number of the bend counted from end A
  kDie,         // its name
  kMark,        // from the end clamped first to where the bend begins
  kFeed,        // straight pushed forward since the bend before, the first from the end
  kRotate,      // turn of the tube since the bend before, by this bender's sign
  kWheel,       // absolute reading of the degree wheel
  kAngle,       // finished
  kSpringback,  // set less finished
  kSet,         // angle and springback in one
  kSpeed,       // likely highest, of the die
};
inline constexpr int kNumKeypadColumns = 10;
std::string_view keypad_word(KeypadColumn column);  // "feed", as in files
// Failure codes: keypad.column.
base::Result<KeypadColumn> keypad_column(std::string_view word);

// What one bender's keypad asks for, in its order and units.
struct KeypadProfile {
  std::string bender;                 // name; empty: any
  std::vector<KeypadColumn> columns;  // each at most once
  base::LengthUnit unit = base::LengthUnit::kMillimetre;
  double length_step_mm = 0.1;            // finest length it takes
  std::optional<base::Angle> angle_step;  // finest angle; absent: as the bender says
  bool rotation_full_circle = false;      // 0° to 360° instead of −180° to 180°
  bool speed_in_percent = false;          // of the bender's highest speed, else rpm
  std::string note;
};

// Carriage-fed: feed, rotate, angle, springback, speed; others: mark, wheel or rotate, angle,
// springback, speed.
KeypadProfile usual_keypad(const workshop::Bender& bender);

struct KeypadCell {
  std::string text;             // as typed, without unit; "–" where the plan has no number
  std::optional<double> value;  // what the text says, in the column's unit
};

struct KeypadRow {
  int step = 0;
  int bend = 0;
  std::vector<KeypadCell> cells;  // one for each column
};

struct KeypadTable {
  KeypadProfile profile;
  std::vector<std::string> heads;  // "feed mm", …
  std::vector<KeypadRow> rows;
  // Sums of what is typed, as texts, to be added up again from the keypad; empty where a sum says
  // nothing (bend, die, mark, wheel, speed).
  std::vector<std::string> totals;
  // feed total + last straight + arcs = cut; only with a feed column.
  std::optional<double> last_straight_mm, arcs_mm;
  std::vector<part::Finding> findings;
};

// Every number is rounded to the keypad's step first and summed afterwards; springback is rounded
// so that angle and springback add up to the rounded set angle.
// Findings: keypad.order (a feed would run backwards), keypad.speed (no speed known),
// keypad.unproven (set angles not proven by trial bends).
// Failure codes: keypad.bender (the plan has no bender or no steps), keypad.profile (no columns, a
// column twice, a step that is not above zero).
base::Result<KeypadTable> keypad_table(const Plan& plan, const KeypadProfile& profile);

}  // namespace bight::planning

// How numbers of the plan are worded on paper, in the units the sheet is printed in.
#pragma once

#include <string>
#include <string_view>

#include "base/angle.h"
#include "base/length.h"
#include "part/part.h"
#include "planning/plan.h"

namespace bight::papers {

// Prints every quantity of a sheet. Columns name their unit once, in the heading, so most texts
// come without one.
class Wording {
 public:
  explicit Wording(const base::LengthStyle& style,
                   base::Angle set_step = base::Angle::degrees(0.1));

  std::string_view unit() const;               // "mm", "in"
  std::string length(double length_mm) const;  // along the tube, in the sheet's style, no unit
  std::string length_with_unit(double length_mm) const;
  // A distance that is certain, rounded down, with its unit.
  std::string at_least(double low_mm) const;
  // Sizes of tools and stock stay decimal even on a sheet of fractions: 1/16 in is too coarse for
  // a wall. Trailing noughts are left off: "38.1", "1.65", "1.5".
  std::string size(double size_mm) const;
  std::string band(const planning::LengthBand& band) const;  // "1526.0 – 1531.2"
  // "lengths to the nearest 1/16 in": how far a printed length may lie from the true one.
  std::string rounding() const;

  std::string mass(double mass_kg) const;       // "2.31 kg", "5.09 lb"
  std::string torque(double torque_nmm) const;  // "880 N·m", "649 lbf·ft"

  std::string angle(base::Angle angle) const;                   // "90.0°"
  std::string fine_angle(base::Angle angle) const;              // "1.04°"
  std::string set_angle(base::Angle angle) const;               // as fine as the keypad takes it
  std::string signed_angle(base::Angle angle) const;            // "+90.0°", "−35.0°", "0.0°"
  std::string set_band(const planning::AngleBand& band) const;  // "92.1 – 93.4°"

  const base::LengthStyle& style() const { return style_; }
  int set_decimals() const { return set_decimals_; }  // of a set angle

 private:
  base::LengthStyle style_;
  int set_decimals_;
};

// "OD 38.1 × wall 1.65 mm", "40 deep at bend 1 × 20 wide, wall 2 mm, corners R 4",
// "solid round 20 mm".
std::string section_words(const stock::Section& section, const Wording& wording);

// "±1.5 mm, ±0.5°"; empty when the drawing gives none.
std::string tolerance_words(const part::Tolerance& tolerance, const Wording& wording);

std::string_view end_letter(planning::End end);  // "A", "B"
planning::End other(planning::End end);
std::string_view side_words(planning::MarkSide side);  // "towards B"

}  // namespace bight::papers

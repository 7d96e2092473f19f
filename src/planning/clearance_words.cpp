#include "planning/clearance_words.h"

#include <fmt/format.h>

#include <cmath>

#include "planning/words.h"

namespace bight::planning {

using clearance::Nearest;
using clearance::Stage;

std::string when(const Nearest& nearest) {
  switch (nearest.stage) {
    case Stage::kLoad:
      return "while the tube comes down beside the die";
    case Stage::kAdvance:
      return "while the tube is pushed to its mark";
    case Stage::kTurn:
      return "while the tube is turned into its plane";
    case Stage::kSeat:
      return "while the tube goes into the groove";
    case Stage::kClamp:
      return "while clamp and pressure die close";
    case Stage::kBend:
      return fmt::format("while it bends, with the die at {}", say(nearest.angle));
    case Stage::kRelease:
      return "while it springs back";
    case Stage::kUnclamp:
      return "while clamp and pressure die open";
    case Stage::kDrawOff:
      return "while it is drawn off the die";
    case Stage::kLift:
      return "while it is lifted out";
    case Stage::kReturn:
      return fmt::format("while the die turns back, at {}", say(nearest.angle));
  }
  return "";
}

std::string what(const Nearest& nearest) {
  return nearest.keep_out ? nearest.body + " (keep out)" : nearest.body;
}

std::string the_body(const Nearest& nearest) {
  const std::string& name = nearest.body;
  const bool bare = name.starts_with("the ") || name.starts_with("die ");
  return bare ? name : "the " + name;
}

std::string say_at_least(double low_mm, const base::LengthStyle& style) {
  const double unit_mm = style.unit == base::LengthUnit::kInch ? 25.4 : 1.0;
  const double step_mm = style.form == base::LengthStyle::Form::kDecimal
                             ? unit_mm * std::pow(10.0, -style.decimals)
                             : unit_mm / style.denominator;
  // What is a whole number of steps but for rounding stays as it is.
  return say(std::floor(low_mm / step_mm + 1e-6) * step_mm, style);
}

}  // namespace bight::planning

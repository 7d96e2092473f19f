#include "planning/words.h"

#include "base/angle_text.h"

namespace bight::planning {

std::string say(double length_mm, const base::LengthStyle& style) {
  return base::print_length(length_mm, style).text;
}

std::string say(base::Angle angle) { return base::print_angle(angle).text; }

}  // namespace bight::planning

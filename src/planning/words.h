// Numbers as they stand in sentences.
#pragma once

#include <string>

#include "base/angle.h"
#include "base/length.h"

namespace bight::planning {

// The length in the user's style, "38.1 mm".
std::string say(double length_mm, const base::LengthStyle& style);
// "90°", "47.9°".
std::string say(base::Angle angle);

}  // namespace bight::planning

// Where a tube comes near to something, in words.
#pragma once

#include <string>

#include "base/length.h"
#include "clearance/step_clearance.h"

namespace bight::planning {

// "while it bends, with the die at 54.3°"
std::string when(const clearance::Nearest& nearest);
// "floor", "operator's place (keep out)"
std::string what(const clearance::Nearest& nearest);
// The same within a sentence: "the floor", "the tube itself", "die 38R114".
std::string the_body(const clearance::Nearest& nearest);
// A certified distance, rounded down: never more than is sure.
std::string say_at_least(double low_mm, const base::LengthStyle& style);

}  // namespace bight::planning

// Lengths and numbers as values of a document that read back as they were.
#pragma once

#include <nlohmann/json.hpp>

#include "base/length.h"

namespace bight::exchange {

// A whole number without a fraction where it is one, so that it is written without.
nlohmann::ordered_json number_value(double value);

// The length as a number of the unit; where no number of inches gives the same millimetres, as text
// in millimetres. Read back it is the same double up to kLongestLength_mm. @pre finite.
nlohmann::ordered_json length_value(double length_mm, base::LengthUnit unit);

}  // namespace bight::exchange

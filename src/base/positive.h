// What every size, stress and modulus must be.
#pragma once

#include <cmath>

namespace bight::base {

// Finite and above zero.
inline bool positive(double value) { return std::isfinite(value) && value > 0; }

}  // namespace bight::base

// How numbers stand in the JSON that is written.
#pragma once

#include <cmath>
#include <nlohmann/json.hpp>

#include "geometry/frame.h"

namespace bight::exchange {

// To nine decimals: a millionth of a micrometre hides the last bits of a double. Never -0.
inline double tidy(double value) {
  const double rounded = std::round(value * 1e9) / 1e9;
  return rounded == 0.0 ? 0.0 : rounded;
}

inline nlohmann::ordered_json point_json(const geometry::Vec3& p_mm) {
  return {tidy(p_mm.x()), tidy(p_mm.y()), tidy(p_mm.z())};
}

}  // namespace bight::exchange

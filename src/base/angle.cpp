#include "base/angle.h"

#include <cmath>

namespace bight::base {

namespace {
constexpr double kTurn_rad = 2.0 * std::numbers::pi;
}

Angle Angle::wrapped() const {
  if (rad_ > -std::numbers::pi && rad_ <= std::numbers::pi) return *this;
  double turned_rad = std::remainder(rad_, kTurn_rad);
  if (turned_rad <= -std::numbers::pi) turned_rad += kTurn_rad;
  return Angle(turned_rad);
}

Angle Angle::wrapped_positive() const {
  double turned_rad = std::fmod(rad_, kTurn_rad);
  if (turned_rad < 0.0) turned_rad += kTurn_rad;
  return Angle(turned_rad >= kTurn_rad ? 0.0 : turned_rad);
}

double sin(Angle angle) { return std::sin(angle.rad()); }
double cos(Angle angle) { return std::cos(angle.rad()); }
double tan(Angle angle) { return std::tan(angle.rad()); }

}  // namespace bight::base

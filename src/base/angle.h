// Angles, with the unit named at every door.
#pragma once

#include <compare>
#include <numbers>

namespace bight::base {

// An angle, kept in radians. Made only by naming a unit, read only by naming a unit.
class Angle {
 public:
  constexpr Angle() = default;
  static constexpr Angle radians(double value_rad) { return Angle(value_rad); }
  static constexpr Angle degrees(double value_deg) {
    return Angle(value_deg * (std::numbers::pi / 180.0));
  }

  constexpr double rad() const { return rad_; }
  constexpr double deg() const { return rad_ * (180.0 / std::numbers::pi); }

  // The same direction in (-180°, 180°]. Exact when already inside.
  Angle wrapped() const;
  // The same direction in [0°, 360°).
  Angle wrapped_positive() const;

  constexpr Angle operator-() const { return Angle(-rad_); }
  constexpr Angle operator+(Angle other) const { return Angle(rad_ + other.rad_); }
  constexpr Angle operator-(Angle other) const { return Angle(rad_ - other.rad_); }
  constexpr Angle operator*(double factor_ratio) const { return Angle(rad_ * factor_ratio); }
  constexpr Angle operator/(double divisor_ratio) const { return Angle(rad_ / divisor_ratio); }
  constexpr double operator/(Angle other) const { return rad_ / other.rad_; }
  constexpr auto operator<=>(const Angle&) const = default;

 private:
  constexpr explicit Angle(double value_rad) : rad_(value_rad) {}
  double rad_ = 0.0;
};

double sin(Angle angle);
double cos(Angle angle);
double tan(Angle angle);

}  // namespace bight::base

#include "inspection/tape.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace bight::inspection {

using base::Angle;
using base::Failure;

double across_mm(Angle angle, double leg_a_mm, double leg_b_mm) {
  // Written with the half angle, so that legs at nearly 180° do not cancel.
  const double along_mm = (leg_a_mm + leg_b_mm) * base::cos(angle / 2.0);
  const double off_mm = (leg_a_mm - leg_b_mm) * base::sin(angle / 2.0);
  return std::hypot(along_mm, off_mm);
}

base::Result<TapedAngle> angle_from_across(double leg_a_mm, double leg_b_mm, double across_mm) {
  const bool fine = leg_a_mm > 0.0 && leg_b_mm > 0.0 && across_mm > 0.0 &&
                    across_mm < leg_a_mm + leg_b_mm && across_mm > std::abs(leg_a_mm - leg_b_mm) &&
                    std::isfinite(across_mm + leg_a_mm + leg_b_mm);
  if (!fine) {
    return Failure{"tape.triangle", "",
                   fmt::format("legs of {:.1f} and {:.1f} mm cannot be {:.1f} mm apart at their "
                               "ends",
                               leg_a_mm, leg_b_mm, across_mm),
                   "measure both legs from where the straight edges meet, and across"};
  }
  // tan²(included/2) by the three sides, good at every angle (half-angle formula).
  const double s = (leg_a_mm + leg_b_mm + across_mm) / 2.0;
  const double included_rad =
      2.0 * std::atan2(std::sqrt((s - leg_a_mm) * (s - leg_b_mm)), std::sqrt(s * (s - across_mm)));
  TapedAngle out;
  out.angle = Angle::radians(std::numbers::pi - included_rad);
  const double area2_mm2 = leg_a_mm * leg_b_mm * std::sin(included_rad);
  out.per_mm = Angle::radians(std::min(std::numbers::pi, across_mm / area2_mm2));
  return out;
}

base::Result<TapedRadius> radius_from_rise(double chord_mm, double rise_mm, double error_mm) {
  if (!(chord_mm > 0.0 && rise_mm > 0.0 && rise_mm <= chord_mm / 2.0)) {
    return Failure{
        "tape.triangle", "",
        fmt::format("a chord of {:.1f} mm cannot have a rise of {:.1f} mm", chord_mm, rise_mm),
        "measure the chord straight across and the rise over its middle; the rise is at "
        "most half the chord"};
  }
  const auto radius_mm = [&](double h_mm) {
    return chord_mm * chord_mm / (8.0 * h_mm) + h_mm / 2.0;
  };
  TapedRadius out;
  out.radius_mm = radius_mm(rise_mm);
  out.low_mm = radius_mm(std::min(rise_mm + error_mm, chord_mm / 2.0));
  out.high_mm =
      rise_mm > error_mm ? radius_mm(rise_mm - error_mm) : std::numeric_limits<double>::infinity();
  return out;
}

}  // namespace bight::inspection

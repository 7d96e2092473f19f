#include "geometry/bend_arithmetic.h"

#include <fmt/format.h>

#include <array>
#include <cmath>

#include "geometry/frame.h"

namespace bight::geometry {

using base::Angle;
using base::Failure;

double gain_mm(Angle angle, double radius_mm) {
  return radius_mm * (2.0 * base::tan(angle / 2.0) - angle.rad());
}

double back_to_back_gain_mm(double radius_mm, double od_mm) {
  return gain_mm(Angle::degrees(90), radius_mm) + od_mm;
}

double start_of_bend_mm(double outside_mm, Angle angle, double radius_mm, double od_mm) {
  return outside_mm - (radius_mm + od_mm / 2.0) * base::tan(angle / 2.0);
}

base::Result<double> take_up_mark_mm(double height_mm, double take_up_mm) {
  // Written so that a nan is refused too.
  if (!(height_mm >= take_up_mm)) {
    return Failure{"marks.take-up", "height",
                   fmt::format("a stub of {:.1f} mm is lower than the tool's take-up of {:.1f} mm",
                               height_mm, take_up_mm),
                   fmt::format("make the stub at least {:.1f} mm high", take_up_mm)};
  }
  return height_mm - take_up_mm;
}

OffsetLengths offset_lengths(double rise_mm, Angle angle, double radius_mm) {
  const double travel_mm = rise_mm / base::sin(angle);
  const double half_tangent = base::tan(angle / 2.0);
  const double g_mm = gain_mm(angle, radius_mm);
  return {travel_mm - g_mm, rise_mm * half_tangent - 2.0 * g_mm,
          travel_mm - 2.0 * radius_mm * half_tangent, g_mm / 2.0};
}

std::optional<TradeConstants> trade_constants(Angle angle) {
  struct Row {
    double angle_deg;
    TradeConstants constants;
  };
  // Spacing multipliers and shrink per rise as printed on bender cards and in training texts
  // (Goodheart-Willcox, Modern Residential Wiring, 2018, p. 141: 1/4 at 30°, 3/8 at 45°).
  constexpr std::array kRows = {
      Row{10.0, {5.8, 1.0 / 16.0}}, Row{15.0, {3.86, 1.0 / 8.0}}, Row{22.5, {2.6, 3.0 / 16.0}},
      Row{30.0, {2.0, 1.0 / 4.0}},  Row{45.0, {1.41, 3.0 / 8.0}}, Row{60.0, {1.15, 1.0 / 2.0}},
  };
  for (const Row& row : kRows) {
    if (std::abs(angle.deg() - row.angle_deg) < 1e-9) return row.constants;
  }
  return std::nullopt;
}

OffsetMarks marks_before_obstacle(double obstacle_mm, const OffsetLengths& offset) {
  const double far_mm = obstacle_mm + offset.shrink_mm + offset.half_gain_mm;
  return {far_mm - offset.spacing_mm, far_mm};
}

OffsetMarks marks_after_obstacle(double obstacle_end_mm, const OffsetLengths& offset) {
  const double near_mm = obstacle_end_mm - offset.half_gain_mm;
  return {near_mm, near_mm + offset.spacing_mm};
}

RollingOffset rolling_offset(double set_mm, double roll_mm, Angle angle) {
  const double true_offset_mm = std::hypot(set_mm, roll_mm);
  return {true_offset_mm, true_offset_mm / base::sin(angle), true_offset_mm / base::tan(angle),
          Angle::radians(std::atan2(roll_mm, set_mm))};
}

SaddleMarks trade_saddle_marks(double depth_mm, double centre_mm) {
  const double mark_mm = centre_mm + 3.0 / 16.0 * depth_mm;
  return {mark_mm - 2.5 * depth_mm, mark_mm, mark_mm + 2.5 * depth_mm};
}

SaddleMarks saddle_marks(double depth_mm, double centre_mm, Angle outer, double radius_mm) {
  // The corner of the centre bend lies above its crown by the external distance R (sec a - 1).
  const double corner_mm = depth_mm + radius_mm * (1.0 / base::cos(outer) - 1.0);
  const double first_corner_mm = centre_mm - corner_mm / base::tan(outer);
  const double half_outer_gain_mm = gain_mm(outer, radius_mm) / 2.0;
  const double half_centre_gain_mm = gain_mm(outer * 2.0, radius_mm) / 2.0;
  const double spacing_mm = corner_mm / base::sin(outer) - half_outer_gain_mm - half_centre_gain_mm;
  const double near_mm = first_corner_mm - half_outer_gain_mm;
  return {near_mm, near_mm + spacing_mm, near_mm + 2.0 * spacing_mm};
}

FourPointMarks four_point_marks(double depth_mm, double top_mm, double centre_mm, Angle angle,
                                double radius_mm) {
  const double g_mm = gain_mm(angle, radius_mm);
  const double spacing_mm = offset_lengths(depth_mm, angle, radius_mm).spacing_mm;
  const double first_corner_mm = centre_mm - top_mm / 2.0 - depth_mm / base::tan(angle);
  FourPointMarks marks;
  marks.up.near_mm = first_corner_mm - g_mm / 2.0;
  marks.up.far_mm = marks.up.near_mm + spacing_mm;
  marks.down.near_mm = marks.up.far_mm + top_mm - g_mm;
  marks.down.far_mm = marks.down.near_mm + spacing_mm;
  return marks;
}

ShotPlan shots(Angle angle, double radius_mm, int num_shots) {
  return {angle / num_shots, radius_mm * angle.rad() / num_shots};
}

Angle true_bend_angle(Angle pitch_before, Angle pitch_after, Angle plan_turn) {
  const Vec3 before(base::cos(pitch_before), 0.0, base::sin(pitch_before));
  const Vec3 after(base::cos(pitch_after) * base::cos(plan_turn),
                   base::cos(pitch_after) * base::sin(plan_turn), base::sin(pitch_after));
  return angle_between(before, after);
}

}  // namespace bight::geometry

// A span of a motion's time, and how far along a direction a point can get within it.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>

#include "clearance/motion.h"

namespace bight::clearance {

// The middle of a span, with the sines and cosines that every point needs.
struct TimeSpan {
  double mid_ratio = 0.5;
  double half_ratio = 0.5;
  double c = 1.0, s = 0.0;                // of the turn at the middle
  double cos_half = 1.0, sin_half = 0.0;  // of the turn from the middle to either end
};

// Pre: the whole turn of the motion within the span is at most 360°.
TimeSpan time_span(const Motion& motion, double from_ratio, double to_ratio);
std::array<TimeSpan, 2> halves(const Motion& motion, const TimeSpan& span);

// A point in the middle of the span: where it is, and its arm from the motion's axis point.
struct Carried {
  geometry::Vec3 arm_mm;  // Rot (q + before + slide t - o)
  geometry::Vec3 p_mm;
};

inline Carried carried(const Motion& motion, const TimeSpan& span, const geometry::Vec3& q_mm) {
  Carried out;
  const geometry::Vec3 x_mm =
      q_mm + motion.before_mm + motion.slide_mm * span.mid_ratio - motion.origin_mm;
  const geometry::Vec3& k = motion.nhat;
  out.arm_mm = x_mm * span.c + k.cross(x_mm) * span.s + k * (k.dot(x_mm) * (1.0 - span.c));
  out.p_mm = motion.origin_mm + out.arm_mm + motion.after_mm + motion.push_mm * span.mid_ratio;
  return out;
}

// The least of A (cos x - 1) + B sin x for |x| <= half, exactly. [m2]
inline double circle_drop_mm(double a_mm, double b_mm, double cos_half, double sin_half) {
  // The low point lies within when the angle of (A, B) is at least 180° less half.
  const double cross_a_mm = std::abs(a_mm) * sin_half;
  const double cross_b_mm = std::abs(b_mm * cos_half);
  const bool within = a_mm <= 0.0 ? cos_half <= 0.0 || cross_a_mm >= cross_b_mm
                                  : cos_half < 0.0 && cross_a_mm <= cross_b_mm;
  if (within) return -std::sqrt(a_mm * a_mm + b_mm * b_mm) - a_mm;
  return a_mm * (cos_half - 1.0) - std::abs(b_mm) * sin_half;
}

// Box of everywhere the point gets to within the span. Exact for a pure turn or push, else too
// large.
Eigen::AlignedBox3d reached_mm(const Motion& motion, const TimeSpan& span, const Carried& point);

// For one direction n and one span: how much less n · p(t) can be than n · p(mid).
class DropBound {
 public:
  DropBound(const Motion& motion, const TimeSpan& span, const geometry::Vec3& n);

  // At most zero, never too high. Exact for a pure turn and for a pure push; else second order in
  // the span.
  double drop_mm(const geometry::Vec3& arm_mm) const;

 private:
  const TimeSpan& span_;
  geometry::Vec3 n_, nxk_, k_;
  double nk_ = 0.0;
  double turn_rad_ = 0.0;
  double rate_mm_ = 0.0;         // n · (push + slide as turned at the middle)
  double slide_mm_ = 0.0;        // |slide| when it turns with the tube
  double slide_swing_mm_ = 0.0;  // amplitude of n · Rot slide
  double push_mm_ = 0.0;         // |n · push|
};

inline double DropBound::drop_mm(const geometry::Vec3& arm_mm) const {
  const double half = span_.half_ratio;
  if (turn_rad_ == 0.0) return -std::abs(rate_mm_) * half;
  const double a_mm = n_.dot(arm_mm) - nk_ * k_.dot(arm_mm);
  const double b_mm = nxk_.dot(arm_mm);
  const double circle_mm = circle_drop_mm(a_mm, b_mm, span_.cos_half, span_.sin_half);
  if (push_mm_ == 0.0 && slide_mm_ == 0.0) return circle_mm;
  // Turn and shift at once. [m3] each for itself, or [m4] Taylor: g(t) >= g + g' t - M t²/2, with
  // the amplitudes of the turning terms bounding g''.
  const double apart_mm = circle_mm - (push_mm_ + slide_mm_) * half;
  const double slope_mm = b_mm * turn_rad_ + rate_mm_;
  const double turn = std::abs(turn_rad_);
  const double reach_mm = std::sqrt(a_mm * a_mm + b_mm * b_mm);
  const double curve_mm =
      turn * turn * (reach_mm + slide_swing_mm_ * half) + 2.0 * turn * slide_swing_mm_;
  const double taylor_mm = -std::abs(slope_mm) * half - 0.5 * curve_mm * half * half;
  return std::max(apart_mm, taylor_mm);
}

}  // namespace bight::clearance

#include "clearance/time_span.h"

namespace bight::clearance {

using geometry::Vec3;

TimeSpan time_span(const Motion& motion, double from_ratio, double to_ratio) {
  TimeSpan span;
  span.mid_ratio = 0.5 * (from_ratio + to_ratio);
  span.half_ratio = 0.5 * (to_ratio - from_ratio);
  const base::Angle at_mid = motion.start + motion.turn * span.mid_ratio;
  span.c = base::cos(at_mid);
  span.s = base::sin(at_mid);
  const base::Angle half = base::Angle::radians(std::abs(motion.turn.rad()) * span.half_ratio);
  span.cos_half = base::cos(half);
  span.sin_half = base::sin(half);
  return span;
}

std::array<TimeSpan, 2> halves(const Motion& motion, const TimeSpan& span) {
  TimeSpan first = span;
  first.half_ratio = 0.5 * span.half_ratio;
  // Half-angle formulas; the turn to either end is within 0..180°, so both halves are positive.
  first.cos_half = std::sqrt(std::max(0.0, 0.5 * (1.0 + span.cos_half)));
  first.sin_half = first.cos_half > 0.5 ? span.sin_half / (2.0 * first.cos_half)
                                        : std::sqrt(std::max(0.0, 0.5 * (1.0 - span.cos_half)));
  TimeSpan second = first;
  first.mid_ratio = span.mid_ratio - first.half_ratio;
  second.mid_ratio = span.mid_ratio + second.half_ratio;
  const double sine = motion.turn.rad() < 0.0 ? -first.sin_half : first.sin_half;
  first.c = span.c * first.cos_half + span.s * sine;
  first.s = span.s * first.cos_half - span.c * sine;
  second.c = span.c * first.cos_half - span.s * sine;
  second.s = span.s * first.cos_half + span.c * sine;
  return {first, second};
}

Eigen::AlignedBox3d reached_mm(const Motion& motion, const TimeSpan& span, const Carried& point) {
  Vec3 low_mm = -motion.push_mm.cwiseAbs() * span.half_ratio;
  Vec3 high_mm = -low_mm;
  if (motion.turn.rad() != 0.0) {
    const Vec3& k = motion.nhat;
    const Vec3 across_mm = point.arm_mm - k * k.dot(point.arm_mm);
    const Vec3 ahead_mm = k.cross(point.arm_mm);
    for (int i = 0; i < 3; ++i) {
      low_mm[i] += circle_drop_mm(across_mm[i], ahead_mm[i], span.cos_half, span.sin_half);
      high_mm[i] -= circle_drop_mm(-across_mm[i], -ahead_mm[i], span.cos_half, span.sin_half);
    }
  }
  const double slide_mm = motion.slide_mm.norm() * span.half_ratio;
  return {point.p_mm + low_mm - Vec3::Constant(slide_mm),
          point.p_mm + high_mm + Vec3::Constant(slide_mm)};
}

DropBound::DropBound(const Motion& motion, const TimeSpan& span, const Vec3& n)
    : span_(span),
      n_(n),
      nxk_(n.cross(motion.nhat)),
      k_(motion.nhat),
      nk_(n.dot(motion.nhat)),
      turn_rad_(motion.turn.rad()) {
  const double push_mm = n.dot(motion.push_mm);
  push_mm_ = std::abs(push_mm);
  rate_mm_ = push_mm;
  if (motion.slide_mm.isZero(0.0)) return;
  const Vec3& x_mm = motion.slide_mm;
  const Vec3 turned_mm =
      x_mm * span.c + k_.cross(x_mm) * span.s + k_ * (k_.dot(x_mm) * (1.0 - span.c));
  const double along_mm = n.dot(turned_mm);
  rate_mm_ += along_mm;
  if (turn_rad_ == 0.0) return;
  slide_mm_ = x_mm.norm() * n.norm();
  const double a_mm = along_mm - nk_ * k_.dot(turned_mm);
  const double b_mm = nxk_.dot(turned_mm);
  slide_swing_mm_ = std::sqrt(a_mm * a_mm + b_mm * b_mm);
}

}  // namespace bight::clearance

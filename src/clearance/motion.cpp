#include "clearance/motion.h"

#include "base/check.h"

namespace bight::clearance {

using geometry::Vec3;

Motion Motion::pushed(const Vec3& from_mm, const Vec3& by_mm) {
  Motion motion;
  motion.after_mm = from_mm;
  motion.push_mm = by_mm;
  return motion;
}

Motion Motion::turned(const Vec3& origin_mm, const Vec3& nhat, base::Angle start,
                      base::Angle turn) {
  Motion motion;
  motion.origin_mm = origin_mm;
  motion.nhat = nhat;
  motion.start = start;
  motion.turn = turn;
  return motion;
}

Eigen::Isometry3d Motion::at(double share_ratio) const {
  const Eigen::AngleAxisd rotation((start + turn * share_ratio).rad(), nhat);
  Eigen::Isometry3d pose = Eigen::Isometry3d::Identity();
  pose.linear() = rotation.toRotationMatrix();
  pose.translation() = origin_mm + after_mm + push_mm * share_ratio +
                       pose.linear() * (before_mm + slide_mm * share_ratio - origin_mm);
  return pose;
}

bool Motion::turns() const { return start.rad() != 0.0 || turn.rad() != 0.0; }

Eigen::Isometry3d CarrierMotion::at(double share_ratio) const {
  Eigen::Isometry3d pose = Eigen::Isometry3d::Identity();
  pose.linear() = Eigen::AngleAxisd((start + turn * share_ratio).rad(), Vec3::UnitZ()).matrix();
  pose.translation() = pose.linear() * (shift_mm + slide_mm * share_ratio);
  return pose;
}

Motion seen_at(const Eigen::Isometry3d& pose, const Motion& motion) {
  const Eigen::Isometry3d back = pose.inverse();
  Motion seen = motion;
  seen.origin_mm = back * motion.origin_mm;
  seen.nhat = back.linear() * motion.nhat;
  seen.before_mm = back.linear() * motion.before_mm;
  seen.slide_mm = back.linear() * motion.slide_mm;
  seen.after_mm = back.linear() * motion.after_mm;
  seen.push_mm = back.linear() * motion.push_mm;
  return seen;
}

Motion seen_from(const CarrierMotion& carrier, const Motion& tube) {
  Motion seen = tube;
  const bool carrier_turns = carrier.start.rad() != 0.0 || carrier.turn.rad() != 0.0;
  if (carrier_turns) {
    if (!tube.turns()) {
      seen.before_mm += tube.after_mm;
      seen.slide_mm += tube.push_mm;
    } else {
      const Vec3 off_axis_mm(tube.origin_mm.x(), tube.origin_mm.y(), 0.0);
      BIGHT_CHECK(off_axis_mm.isZero(1e-9) && std::abs(tube.nhat.z()) > 1.0 - 1e-12);
      BIGHT_CHECK(tube.after_mm.isZero() && tube.push_mm.isZero());
    }
    // Turns about the same axis add; the tube's own axis may point the other way.
    const double sign = tube.turns() && tube.nhat.z() < 0.0 ? -1.0 : 1.0;
    seen.nhat = Vec3::UnitZ();
    seen.origin_mm = Vec3::Zero();
    seen.start = tube.start * sign - carrier.start;
    seen.turn = tube.turn * sign - carrier.turn;
    seen.after_mm = Vec3::Zero();
    seen.push_mm = Vec3::Zero();
  }
  seen.after_mm -= carrier.shift_mm;
  seen.push_mm -= carrier.slide_mm;
  return seen;
}

}  // namespace bight::clearance

// A movement with one parameter: shift, turn about a fixed axis, shift.
#pragma once

#include <Eigen/Geometry>

#include "base/angle.h"
#include "geometry/frame.h"

namespace bight::clearance {

// Where a point q of the moving thing is at t in [0, 1]:
//
//   p(t) = o + Rot(k, start + turn t) (q + before + slide t - o) + after + push t      [m1]
//
// Everything a bender does to a tube is of this form, and so is what one moving part sees of
// another (see seen_from).
struct Motion {
  geometry::Vec3 origin_mm = geometry::Vec3::Zero();  // o, a point of the axis
  geometry::Vec3 nhat = geometry::Vec3::UnitZ();      // k
  base::Angle start;
  base::Angle turn;
  geometry::Vec3 before_mm = geometry::Vec3::Zero();
  geometry::Vec3 slide_mm = geometry::Vec3::Zero();
  geometry::Vec3 after_mm = geometry::Vec3::Zero();
  geometry::Vec3 push_mm = geometry::Vec3::Zero();

  static Motion still() { return {}; }
  static Motion pushed(const geometry::Vec3& from_mm, const geometry::Vec3& by_mm);
  static Motion turned(const geometry::Vec3& origin_mm, const geometry::Vec3& nhat,
                       base::Angle start, base::Angle turn);

  Eigen::Isometry3d at(double share_ratio) const;
  bool turns() const;  // start or turn is not zero
};

// How a carrier of bodies moves: shifted in its own axes, then turned about the die's axis, the z
// axis of the machine.
struct CarrierMotion {
  base::Angle start;
  base::Angle turn;
  geometry::Vec3 shift_mm = geometry::Vec3::Zero();
  geometry::Vec3 slide_mm = geometry::Vec3::Zero();

  Eigen::Isometry3d at(double share_ratio) const;
};

// The motion in axes that stand at `pose`: pose⁻¹ motion(t) pose.
Motion seen_at(const Eigen::Isometry3d& pose, const Motion& motion);

// The motion of the tube as the carrier sees it: carrier(t)⁻¹ tube(t).
// Pre: carrier and tube do not both turn unless both turn about the machine's z axis and the tube
// is not shifted after its turn. (Nothing a bender does needs more.)
Motion seen_from(const CarrierMotion& carrier, const Motion& tube);

}  // namespace bight::clearance

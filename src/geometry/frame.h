// Points and frames of the part, in millimetres.
#pragma once

#include <Eigen/Core>

#include "base/angle.h"

namespace bight::geometry {

using Vec3 = Eigen::Vector3d;

// Turns v about the unit axis by the angle, right-hand positive (Rodrigues).
Vec3 turned(const Vec3& v, const Vec3& nhat_axis, base::Angle angle);

// The angle from a to b, in [0°, 180°]. atan2 of cross and dot: full digits at every angle,
// where acos(dot) loses all of them below 1e-6°. Lengths do not matter; 0 if either is zero.
base::Angle angle_between(const Vec3& a, const Vec3& b);

// A travelling frame on the centreline: where we are, which way we go, which way the bend turns.
// ahead, inward, normal are orthonormal, normal = ahead x inward: the bend turns ahead towards
// inward about normal.
struct Frame {
  Vec3 origin_mm = Vec3::Zero();
  Vec3 ahead = Vec3::UnitX();
  Vec3 inward = Vec3::UnitY();
  Vec3 normal = Vec3::UnitZ();

  Frame advanced(double length_mm) const;
  Frame rolled(base::Angle rotation) const;  // about ahead, right-hand positive
  // Along an arc of the given centreline radius towards inward.
  Frame swept(double radius_mm, base::Angle angle) const;
};

}  // namespace bight::geometry

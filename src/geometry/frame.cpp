#include "geometry/frame.h"

#include <Eigen/Geometry>
#include <cmath>

namespace bight::geometry {

Vec3 turned(const Vec3& v, const Vec3& nhat_axis, base::Angle angle) {
  const double c = base::cos(angle);
  const double s = base::sin(angle);
  return v * c + nhat_axis.cross(v) * s + nhat_axis * (nhat_axis.dot(v) * (1.0 - c));
}

base::Angle angle_between(const Vec3& a, const Vec3& b) {
  return base::Angle::radians(std::atan2(a.cross(b).norm(), a.dot(b)));
}

Frame Frame::advanced(double length_mm) const {
  Frame next = *this;
  next.origin_mm += ahead * length_mm;
  return next;
}

Frame Frame::rolled(base::Angle rotation) const {
  const double c = base::cos(rotation);
  const double s = base::sin(rotation);
  Frame next = *this;
  next.inward = inward * c + normal * s;
  next.normal = normal * c - inward * s;
  return next;
}

Frame Frame::swept(double radius_mm, base::Angle angle) const {
  const double c = base::cos(angle);
  const double s = base::sin(angle);
  Frame next = *this;
  // 2 sin² keeps the digits of 1 - cos for shallow bends.
  const double half_sine = base::sin(angle / 2.0);
  next.origin_mm += ahead * (radius_mm * s) + inward * (radius_mm * 2.0 * half_sine * half_sine);
  next.ahead = ahead * c + inward * s;
  next.inward = inward * c - ahead * s;
  return next;
}

}  // namespace bight::geometry

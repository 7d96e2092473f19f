// Convex solids, each answering one question: how far is a point from it, and which way is off?
//
// The signed distance to a convex set is a convex function of the point, inside as outside. So the
// answer at one point bounds the distance at every other point from below:
//
//   f(x) >= f(p) + n · (x - p)                                                         [c1]
//
// with n any subgradient at p. The certified search needs nothing else of a solid.
#pragma once

#include <Eigen/Geometry>
#include <vector>

#include "geometry/frame.h"

namespace bight::clearance {

// Signed distance at a point, negative inside, with a subgradient (a unit vector away from the
// solid, or zero where nothing better is known).
struct Touch {
  double distance_mm = 0.0;
  geometry::Vec3 away = geometry::Vec3::Zero();
};

// The half-space of all x with away · x <= offset; its distance is away · x - offset.
struct HalfSpace {
  geometry::Vec3 away = geometry::Vec3::UnitZ();
  double offset_mm = 0.0;

  Touch touch(const geometry::Vec3& p_mm) const { return {away.dot(p_mm) - offset_mm, away}; }
};

struct Box {
  Eigen::Matrix3d axes = Eigen::Matrix3d::Identity();  // columns: its axes
  geometry::Vec3 centre_mm = geometry::Vec3::Zero();
  geometry::Vec3 half_mm = geometry::Vec3::Zero();

  Touch touch(const geometry::Vec3& p_mm) const;
};

struct Cylinder {
  geometry::Vec3 nhat = geometry::Vec3::UnitZ();
  geometry::Vec3 centre_mm = geometry::Vec3::Zero();
  double radius_mm = 0.0;
  double half_length_mm = 0.0;

  Touch touch(const geometry::Vec3& p_mm) const;
};

// A convex polygon raised along the third axis.
struct Prism {
  Eigen::Matrix3d axes = Eigen::Matrix3d::Identity();
  geometry::Vec3 centre_mm = geometry::Vec3::Zero();  // at half height
  std::vector<Eigen::Vector2d> outline_mm;            // counter-clockwise, convex
  double half_height_mm = 0.0;

  Touch touch(const geometry::Vec3& p_mm) const;
};

// Flat: distance is never negative.
struct Triangle {
  geometry::Vec3 a_mm, b_mm, c_mm;

  Touch touch(const geometry::Vec3& p_mm) const;
};

// A line between two points: the other side of the tube itself.
struct Line {
  geometry::Vec3 a_mm, b_mm;

  Touch touch(const geometry::Vec3& p_mm) const;
};

Eigen::AlignedBox3d bounds_mm(const Box& box);
Eigen::AlignedBox3d bounds_mm(const Cylinder& cylinder);
Eigen::AlignedBox3d bounds_mm(const Prism& prism);

// Nearest point of the triangle to p (Ericson's seven regions).
geometry::Vec3 nearest_on_triangle_mm(const Triangle& triangle, const geometry::Vec3& p_mm);

// Where on the line a→b the other line comes nearest, as a share of a→b. Any nearest pair where
// they run parallel.
double nearest_share_ratio(const geometry::Vec3& a_mm, const geometry::Vec3& b_mm,
                           const Line& other);

}  // namespace bight::clearance

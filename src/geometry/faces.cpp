#include "geometry/faces.h"

#include <fmt/format.h>

#include <Eigen/Geometry>
#include <cmath>

namespace bight::geometry {

using base::Failure;

namespace {

// Normal of the drawing: that of the first corner that turns.
Vec3 drawing_normal(const std::vector<Vec3>& points_mm) {
  for (std::size_t i = 1; i + 1 < points_mm.size(); ++i) {
    const Vec3 before = (points_mm[i] - points_mm[i - 1]).normalized();
    const Vec3 after = (points_mm[i + 1] - points_mm[i]).normalized();
    const Vec3 normal = before.cross(after);
    if (normal.norm() > 1e-4) return normal.normalized();
  }
  return Vec3::Zero();
}

// Signed turn of each inner corner about the normal: +1 left, -1 right, 0 straight through.
std::vector<int> turns(const std::vector<Vec3>& points_mm, const Vec3& nhat) {
  std::vector<int> signs;
  for (std::size_t i = 1; i + 1 < points_mm.size(); ++i) {
    const Vec3 before = (points_mm[i] - points_mm[i - 1]).normalized();
    const Vec3 after = (points_mm[i + 1] - points_mm[i]).normalized();
    const double sine = before.cross(after).dot(nhat);
    signs.push_back(std::abs(sine) < 1e-4 ? 0 : (sine > 0.0 ? 1 : -1));
  }
  return signs;
}

}  // namespace

base::Result<std::vector<Vec3>> centreline_from_face(const std::vector<Vec3>& points_mm, Face face,
                                                     double size_mm) {
  if (face == Face::kCentre) return points_mm;
  const Vec3 nhat = drawing_normal(points_mm);
  if (nhat.isZero()) {
    return Failure{"faces.few", "corners", "a face needs at least one corner that turns",
                   "give the points of the centreline instead"};
  }
  for (std::size_t i = 0; i < points_mm.size(); ++i) {
    const double off_mm = (points_mm[i] - points_mm[0]).dot(nhat);
    if (std::abs(off_mm) > 0.01) {
      return Failure{"faces.plane", fmt::format("point {}", i + 1),
                     fmt::format("the point lies {:.2f} mm out of the drawing's plane", off_mm),
                     "dimension parts in more than one plane to the centreline"};
    }
  }
  // The first turning corner turns left about nhat by construction.
  double shift_mm = size_mm / 2.0;  // towards the left
  if (face == Face::kOutside || face == Face::kInside) {
    for (const int sign : turns(points_mm, nhat)) {
      if (sign < 0) {
        return Failure{"faces.mixed", "corners",
                       "the corners turn both ways, so no one face is the outside",
                       "name the left or the right face, seen along the part from end A"};
      }
    }
    shift_mm = face == Face::kOutside ? size_mm / 2.0 : -size_mm / 2.0;
  } else {
    shift_mm = face == Face::kRight ? size_mm / 2.0 : -size_mm / 2.0;
    // "Left" and "right" are the reader's: with the drawing's z towards him when it has one.
    if (std::abs(nhat.z()) > 0.5 && nhat.z() < 0.0) shift_mm = -shift_mm;
  }
  // Each leg moves by shift along its own left normal; corners are where moved legs meet.
  std::vector<Vec3> moved;
  const std::size_t last = points_mm.size() - 1;
  for (std::size_t i = 0; i <= last; ++i) {
    const Vec3 in = i == 0 ? Vec3(points_mm[1] - points_mm[0]).normalized()
                           : Vec3(points_mm[i] - points_mm[i - 1]).normalized();
    const Vec3 out = i == last ? in : Vec3(points_mm[i + 1] - points_mm[i]).normalized();
    const Vec3 left_in = nhat.cross(in);
    const Vec3 left_out = nhat.cross(out);
    moved.push_back(points_mm[i] +
                    (left_in + left_out) * (shift_mm / (1.0 + left_in.dot(left_out))));
  }
  return moved;
}

double centreline_radius_mm(double radius_mm, Face face, double size_mm) {
  if (face == Face::kOutside) return radius_mm - size_mm / 2.0;
  if (face == Face::kInside) return radius_mm + size_mm / 2.0;
  return radius_mm;
}

}  // namespace bight::geometry

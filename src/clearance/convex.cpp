#include "clearance/convex.h"

#include <algorithm>
#include <cmath>

namespace bight::clearance {

using geometry::Vec3;

namespace {

// A solid that is a product of two: over_a and over_b are the signed distances to each, dir_a and
// dir_b the ways off. Outside both the distance is that to the edge they share.
Touch of_product(double over_a_mm, const Vec3& dir_a, double over_b_mm, const Vec3& dir_b) {
  if (over_a_mm > 0.0 && over_b_mm > 0.0) {
    const double d_mm = std::sqrt(over_a_mm * over_a_mm + over_b_mm * over_b_mm);
    return {d_mm, dir_a * (over_a_mm / d_mm) + dir_b * (over_b_mm / d_mm)};
  }
  if (over_a_mm > over_b_mm) return {over_a_mm, dir_a};
  return {over_b_mm, dir_b};
}

Touch of_nearest(const Vec3& p_mm, const Vec3& nearest_mm) {
  const Vec3 off_mm = p_mm - nearest_mm;
  const double d_mm = off_mm.norm();
  if (d_mm == 0.0) return {0.0, Vec3::Zero()};
  return {d_mm, off_mm / d_mm};
}

}  // namespace

Touch Box::touch(const Vec3& p_mm) const {
  const Vec3 off_mm = p_mm - centre_mm;
  const Vec3 q_mm(axes.col(0).dot(off_mm), axes.col(1).dot(off_mm), axes.col(2).dot(off_mm));
  const Vec3 over_mm = q_mm.cwiseAbs() - half_mm;
  const Vec3 out_mm = over_mm.cwiseMax(0.0);
  const double square_mm2 = out_mm.squaredNorm();
  Vec3 away = Vec3::Zero();
  double d_mm = 0.0;
  if (square_mm2 > 0.0) {
    d_mm = std::sqrt(square_mm2);
    for (int i = 0; i < 3; ++i) away[i] = std::copysign(out_mm[i] / d_mm, q_mm[i]);
  } else {
    int axis = 0;
    d_mm = over_mm.maxCoeff(&axis);
    away[axis] = std::copysign(1.0, q_mm[axis]);
  }
  return {d_mm, axes.col(0) * away.x() + axes.col(1) * away.y() + axes.col(2) * away.z()};
}

Touch Cylinder::touch(const Vec3& p_mm) const {
  const Vec3 q_mm = p_mm - centre_mm;
  const double z_mm = nhat.dot(q_mm);
  const Vec3 radial_mm = q_mm - nhat * z_mm;
  const double rho_mm = radial_mm.norm();
  // On the axis every way out is as good; any unit vector is a subgradient there.
  const Vec3 out = rho_mm > 0.0 ? Vec3(radial_mm / rho_mm) : nhat.unitOrthogonal();
  const Vec3 up = z_mm < 0.0 ? Vec3(-nhat) : nhat;
  return of_product(rho_mm - radius_mm, out, std::abs(z_mm) - half_length_mm, up);
}

Touch Prism::touch(const Vec3& p_mm) const {
  const Vec3 q_mm = axes.transpose() * (p_mm - centre_mm);
  const Eigen::Vector2d flat_mm = q_mm.head<2>();
  double deepest_mm = -std::numeric_limits<double>::infinity();
  Eigen::Vector2d deepest_dir(1.0, 0.0);
  double square_mm2 = std::numeric_limits<double>::infinity();
  Eigen::Vector2d nearest_mm = flat_mm;
  for (std::size_t i = 0; i < outline_mm.size(); ++i) {
    const Eigen::Vector2d& a_mm = outline_mm[i];
    const Eigen::Vector2d edge_mm = outline_mm[(i + 1) % outline_mm.size()] - a_mm;
    const Eigen::Vector2d off_mm = flat_mm - a_mm;
    const Eigen::Vector2d normal = Eigen::Vector2d(edge_mm.y(), -edge_mm.x()).normalized();
    const double over_mm = normal.dot(off_mm);
    if (over_mm > deepest_mm) {
      deepest_mm = over_mm;
      deepest_dir = normal;
    }
    const double share = std::clamp(off_mm.dot(edge_mm) / edge_mm.squaredNorm(), 0.0, 1.0);
    const double to_edge_mm2 = (off_mm - edge_mm * share).squaredNorm();
    if (to_edge_mm2 < square_mm2) {
      square_mm2 = to_edge_mm2;
      nearest_mm = a_mm + edge_mm * share;
    }
  }
  double over_mm = deepest_mm;
  Eigen::Vector2d dir = deepest_dir;
  if (deepest_mm > 0.0) {
    over_mm = std::sqrt(square_mm2);
    dir = (flat_mm - nearest_mm) / over_mm;
  }
  const Vec3 out = axes.leftCols<2>() * dir;
  const Vec3 up = q_mm.z() < 0.0 ? Vec3(-axes.col(2)) : Vec3(axes.col(2));
  return of_product(over_mm, out, std::abs(q_mm.z()) - half_height_mm, up);
}

Vec3 nearest_on_triangle_mm(const Triangle& triangle, const Vec3& p_mm) {
  const Vec3& a = triangle.a_mm;
  const Vec3 ab = triangle.b_mm - a;
  const Vec3 ac = triangle.c_mm - a;
  const Vec3 ap = p_mm - a;
  const double d1 = ab.dot(ap);
  const double d2 = ac.dot(ap);
  if (d1 <= 0.0 && d2 <= 0.0) return a;
  const Vec3 bp = p_mm - triangle.b_mm;
  const double d3 = ab.dot(bp);
  const double d4 = ac.dot(bp);
  if (d3 >= 0.0 && d4 <= d3) return triangle.b_mm;
  const double vc = d1 * d4 - d3 * d2;
  if (vc <= 0.0 && d1 >= 0.0 && d3 <= 0.0) return a + ab * (d1 / (d1 - d3));
  const Vec3 cp = p_mm - triangle.c_mm;
  const double d5 = ab.dot(cp);
  const double d6 = ac.dot(cp);
  if (d6 >= 0.0 && d5 <= d6) return triangle.c_mm;
  const double vb = d5 * d2 - d1 * d6;
  if (vb <= 0.0 && d2 >= 0.0 && d6 <= 0.0) return a + ac * (d2 / (d2 - d6));
  const double va = d3 * d6 - d5 * d4;
  if (va <= 0.0 && d4 - d3 >= 0.0 && d5 - d6 >= 0.0) {
    const double share = (d4 - d3) / ((d4 - d3) + (d5 - d6));
    return triangle.b_mm + (triangle.c_mm - triangle.b_mm) * share;
  }
  const double sum = va + vb + vc;
  return a + ab * (vb / sum) + ac * (vc / sum);
}

Touch Triangle::touch(const Vec3& p_mm) const {
  return of_nearest(p_mm, nearest_on_triangle_mm(*this, p_mm));
}

Touch Line::touch(const Vec3& p_mm) const {
  const Vec3 along_mm = b_mm - a_mm;
  const double square_mm2 = along_mm.squaredNorm();
  const double share =
      square_mm2 > 0.0 ? std::clamp(along_mm.dot(p_mm - a_mm) / square_mm2, 0.0, 1.0) : 0.0;
  return of_nearest(p_mm, a_mm + along_mm * share);
}

Eigen::AlignedBox3d bounds_mm(const Box& box) {
  const Vec3 reach_mm = box.axes.cwiseAbs() * box.half_mm;
  return {box.centre_mm - reach_mm, box.centre_mm + reach_mm};
}

Eigen::AlignedBox3d bounds_mm(const Cylinder& cylinder) {
  Vec3 reach_mm;
  for (int i = 0; i < 3; ++i) {
    reach_mm[i] =
        cylinder.half_length_mm * std::abs(cylinder.nhat[i]) +
        cylinder.radius_mm * std::hypot(cylinder.nhat[(i + 1) % 3], cylinder.nhat[(i + 2) % 3]);
  }
  return {cylinder.centre_mm - reach_mm, cylinder.centre_mm + reach_mm};
}

Eigen::AlignedBox3d bounds_mm(const Prism& prism) {
  Eigen::AlignedBox3d box;
  for (const Eigen::Vector2d& corner_mm : prism.outline_mm) {
    for (const double z_mm : {-prism.half_height_mm, prism.half_height_mm}) {
      box.extend(prism.centre_mm + prism.axes * Vec3(corner_mm.x(), corner_mm.y(), z_mm));
    }
  }
  return box;
}

double nearest_share_ratio(const Vec3& a_mm, const Vec3& b_mm, const Line& other) {
  const Vec3 d1 = b_mm - a_mm;
  const Vec3 d2 = other.b_mm - other.a_mm;
  const Vec3 r = a_mm - other.a_mm;
  const double a = d1.squaredNorm();
  const double e = d2.squaredNorm();
  if (a == 0.0) return 0.0;
  const double c = d1.dot(r);
  if (e == 0.0) return std::clamp(-c / a, 0.0, 1.0);
  const double b = d1.dot(d2);
  const double f = d2.dot(r);
  const double determinant = a * e - b * b;
  double s = determinant > 0.0 ? std::clamp((b * f - c * e) / determinant, 0.0, 1.0) : 0.5;
  const double t = (b * s + f) / e;
  if (t < 0.0) {
    s = std::clamp(-c / a, 0.0, 1.0);
  } else if (t > 1.0) {
    s = std::clamp((b - c) / a, 0.0, 1.0);
  }
  return s;
}

}  // namespace bight::clearance

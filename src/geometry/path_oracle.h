// For tests only: the path of a bend table followed in tiny steps, sharing no code with Frame.
//
// The centreline's differential equations t' = n / R, n' = -t / R, p' = t are integrated by the
// classical Runge-Kutta method in extended precision. With steps of 2e-4 rad its own error over a
// hundred radians and ten metres of lever is below 1e-10 mm (error per radian h^4 / 120).
#pragma once

#include <array>
#include <cmath>
#include <vector>

#include "geometry/bend_table.h"

namespace bight::geometry::oracle {

using Real = long double;
using Triple = std::array<Real, 3>;

inline Triple sum(const Triple& a, const Triple& b, Real factor) {
  return {a[0] + b[0] * factor, a[1] + b[1] * factor, a[2] + b[2] * factor};
}
inline Triple cross(const Triple& a, const Triple& b) {
  return {a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]};
}
inline Triple triple(const Vec3& v) { return {v.x(), v.y(), v.z()}; }
inline Vec3 vec3(const Triple& t) {
  return Vec3(static_cast<double>(t[0]), static_cast<double>(t[1]), static_cast<double>(t[2]));
}

struct Path {
  std::vector<Vec3> joints_mm;  // end A, then the end of every straight and arc
  std::vector<Vec3> points_mm;  // every step
  Vec3 end_mm;
  Vec3 end_direction;
  double length_mm = 0.0;  // sum of the chords of the steps
};

// One state: where, which way, which side is inside.
struct State {
  Triple p;
  Triple t;
  Triple n;
};

inline State moved(const State& s, const State& slope, Real step) {
  return {sum(s.p, slope.p, step), sum(s.t, slope.t, step), sum(s.n, slope.n, step)};
}

// d/ds of the state at curvature 1/R.
inline State slope_of(const State& s, Real curvature) {
  State d{s.t, {}, {}};
  d.t = sum(d.t, s.n, curvature);
  d.n = sum(d.n, s.t, -curvature);
  return d;
}

inline State stepped(const State& s, Real curvature, Real h) {
  const State k1 = slope_of(s, curvature);
  const State k2 = slope_of(moved(s, k1, h / 2), curvature);
  const State k3 = slope_of(moved(s, k2, h / 2), curvature);
  const State k4 = slope_of(moved(s, k3, h), curvature);
  State next = moved(s, k1, h / 6);
  next = moved(next, k2, h / 3);
  next = moved(next, k3, h / 3);
  return moved(next, k4, h / 6);
}

inline Path follow(const BendTable& table, const Frame& start = Frame(), double step_rad = 2e-4) {
  State s{triple(start.origin_mm), triple(start.ahead), triple(start.inward)};
  Path path;
  path.joints_mm.push_back(vec3(s.p));
  path.points_mm.push_back(vec3(s.p));
  Real length = 0;
  const auto straight = [&](double length_mm) {
    s.p = sum(s.p, s.t, length_mm);
    length += length_mm;
    path.joints_mm.push_back(vec3(s.p));
    path.points_mm.push_back(vec3(s.p));
  };
  for (const BendRow& row : table.rows()) {
    straight(row.straight_mm);
    // The plane turns about the direction of travel: n' = n cos + (t x n) sin.
    const Real roll = row.rotation.rad();
    const Triple across = cross(s.t, s.n);
    Triple n{};
    n = sum(n, s.n, std::cos(roll));
    s.n = sum(n, across, std::sin(roll));
    const int num_steps = std::max(1, static_cast<int>(std::ceil(row.angle.rad() / step_rad)));
    const Real arc = static_cast<Real>(row.radius_mm) * static_cast<Real>(row.angle.rad());
    const Real h = arc / num_steps;
    for (int i = 0; i < num_steps; ++i) {
      const Triple before = s.p;
      s = stepped(s, 1 / static_cast<Real>(row.radius_mm), h);
      const Triple chord = sum(s.p, before, -1);
      length += std::sqrt(chord[0] * chord[0] + chord[1] * chord[1] + chord[2] * chord[2]);
      path.points_mm.push_back(vec3(s.p));
    }
    path.joints_mm.push_back(vec3(s.p));
  }
  straight(table.last_straight_mm());
  path.end_mm = vec3(s.p);
  path.end_direction = vec3(s.t);
  path.length_mm = static_cast<double>(length);
  return path;
}

}  // namespace bight::geometry::oracle

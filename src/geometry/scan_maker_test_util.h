// For tests only: scans of tubes that exist on paper, sharing no code with what reads them.
//
// The tube is walked with its own little matrix arithmetic; points are drawn evenly by area on
// cylinders and tori, seen from chosen sides only, with noise, strays and other things about.
#pragma once

#include <array>
#include <cmath>
#include <cstdint>
#include <random>
#include <vector>

#include "geometry/frame.h"

namespace bight::geometry::made {

constexpr double kPi = 3.14159265358979323846;

struct Bend {
  double straight_mm;
  double rotation_deg;
  double angle_deg;
  double radius_mm;
};

struct Tube {
  std::vector<Bend> bends;
  double last_mm;
  double od_mm;
};

struct Scan {
  std::size_t num = 20000;
  double noise_mm = 0.2;
  double strays_ratio = 0.0;  // of num, anywhere in the box around the tube
  // Only skin that looks within this of the viewing direction is seen; 180 sees all round. 45 is a
  // quarter of the girth.
  double half_girth_deg = 180.0;
  std::array<double, 3> view = {0.3, -0.5, 0.8};
  bool view_follows = false;  // the same strip of girth all along, as from a scanner carried round
  double wall_mm = 0.0;       // above 0: cut faces and the inner skin, one diameter deep
  double inner_all_ratio = 0.0;  // of the points on an inner skin all along (a solid's mesh)
  std::vector<std::array<double, 2>> holes_mm;  // along the axis from end A
  std::size_t table_points = 0;                 // on a plane below the tube
  std::size_t bracket_points = 0;               // on an angle bracket beside the middle
  bool placed = true;                           // turned and shifted somewhere in space
  std::uint64_t seed = 1;
};

using M3 = std::array<std::array<double, 3>, 3>;
using V3 = std::array<double, 3>;

inline V3 axpy(const V3& a, double f, const V3& b) {
  return {a[0] + f * b[0], a[1] + f * b[1], a[2] + f * b[2]};
}
inline V3 combo(double a, const V3& x, double b, const V3& y) {
  return {a * x[0] + b * y[0], a * x[1] + b * y[1], a * x[2] + b * y[2]};
}
inline double dot(const V3& a, const V3& b) { return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]; }
inline V3 cross(const V3& a, const V3& b) {
  return {a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]};
}
inline V3 unit(const V3& a) {
  const double n = std::sqrt(dot(a, a));
  return {a[0] / n, a[1] / n, a[2] / n};
}

// Centre, direction, and the two directions across, at a distance along the tube. For an arc side
// is towards its centre and curvature 1 / R.
struct Place {
  V3 p;
  V3 t;
  V3 side;
  V3 up;
  double curvature;
};

inline double length_of(const Tube& tube) {
  double sum = tube.last_mm;
  for (const Bend& b : tube.bends) sum += b.straight_mm + b.radius_mm * b.angle_deg * kPi / 180;
  return sum;
}

inline Place place_at(const Tube& tube, double s) {
  Place at{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}, 0};
  for (const Bend& b : tube.bends) {
    if (s <= b.straight_mm) break;
    s -= b.straight_mm;
    at.p = axpy(at.p, b.straight_mm, at.t);
    const double roll = b.rotation_deg * kPi / 180;
    const V3 side = combo(std::cos(roll), at.side, std::sin(roll), at.up);
    at.up = combo(std::cos(roll), at.up, -std::sin(roll), at.side);
    at.side = side;
    const double whole = b.angle_deg * kPi / 180;
    const double turn = std::min(whole, s / b.radius_mm);
    const V3 centre = axpy(at.p, b.radius_mm, at.side);
    const V3 t = combo(std::cos(turn), at.t, std::sin(turn), at.side);
    at.side = combo(std::cos(turn), at.side, -std::sin(turn), at.t);
    at.t = t;
    at.p = axpy(centre, -b.radius_mm, at.side);
    if (turn < whole) {
      at.curvature = 1 / b.radius_mm;
      return at;
    }
    s -= b.radius_mm * whole;
  }
  at.p = axpy(at.p, s, at.t);
  return at;
}

inline M3 placement(std::mt19937_64& random) {
  std::normal_distribution<double> normal;
  const V3 a = unit({normal(random), normal(random), normal(random)});
  V3 b = {normal(random), normal(random), normal(random)};
  b = unit(axpy(b, -dot(a, b), a));
  return {a, b, cross(a, b)};
}

inline std::vector<Vec3> scanned(const Tube& tube, const Scan& scan) {
  std::mt19937_64 random(scan.seed);
  std::uniform_real_distribution<double> unit_draw;
  std::normal_distribution<double> normal;
  const double r = tube.od_mm / 2;
  const double length = length_of(tube);
  const V3 view = unit(scan.view);
  const double seen = std::cos(scan.half_girth_deg * kPi / 180);
  std::vector<V3> points;
  V3 low{1e9, 1e9, 1e9};
  V3 high{-1e9, -1e9, -1e9};
  const auto add = [&](V3 p) {
    for (std::size_t k = 0; k < 3; ++k) {
      p[k] += scan.noise_mm * normal(random);
      low[k] = std::min(low[k], p[k]);
      high[k] = std::max(high[k], p[k]);
    }
    points.push_back(p);
  };
  while (points.size() < scan.num) {
    const double s = unit_draw(random) * length;
    const double girth = unit_draw(random) * 2 * kPi;
    double radius = r;
    if (unit_draw(random) < scan.inner_all_ratio) radius = r - scan.wall_mm;
    if (scan.wall_mm > 0 && scan.inner_all_ratio == 0 && unit_draw(random) < 0.5 &&
        (s < 2 * r || s > length - 2 * r)) {
      radius = r - scan.wall_mm;
    }
    const Place at = place_at(tube, s);
    // Even by area: the inside of a bend has less of it.
    if (unit_draw(random) * 2 > 1 - radius * at.curvature * std::cos(girth)) continue;
    const V3 out = combo(std::cos(girth), at.side, std::sin(girth), at.up);
    if (scan.half_girth_deg < 180) {
      const double facing = scan.view_follows ? -std::cos(girth - 2.0) : dot(out, view);
      if (facing < seen) continue;
    }
    bool hidden = false;
    for (const auto& hole : scan.holes_mm) hidden = hidden || (s > hole[0] && s < hole[1]);
    if (!hidden) add(axpy(at.p, radius, out));
  }
  if (scan.wall_mm > 0 && scan.inner_all_ratio == 0) {
    // The cut faces.
    for (const double s : {0.0, length}) {
      const Place at = place_at(tube, s);
      for (std::size_t i = 0; i < scan.num / 100; ++i) {
        const double girth = unit_draw(random) * 2 * kPi;
        const double rho = r - scan.wall_mm * unit_draw(random);
        add(axpy(at.p, rho, combo(std::cos(girth), at.side, std::sin(girth), at.up)));
      }
    }
  }
  const V3 box_low = low;
  const V3 box_high = high;
  for (std::size_t i = 0; i < scan.table_points; ++i) {
    const V3 p{box_low[0] - 100 + (box_high[0] - box_low[0] + 200) * unit_draw(random),
               box_low[1] - 100 + (box_high[1] - box_low[1] + 200) * unit_draw(random), box_low[2]};
    add(p);
  }
  const Place middle = place_at(tube, length / 2);
  for (std::size_t i = 0; i < scan.bracket_points; ++i) {
    // An angle 60 x 60 x 80 whose corner stands a little off the tube.
    const double u = 60 * unit_draw(random);
    const double v = 80 * (unit_draw(random) - 0.5);
    V3 p = axpy(middle.p, r + 3, middle.up);
    p = axpy(p, v, middle.t);
    add(i % 2 == 0 ? axpy(p, u, middle.up) : axpy(p, u, middle.side));
  }
  const auto strays = static_cast<std::size_t>(scan.strays_ratio * static_cast<double>(scan.num));
  for (std::size_t i = 0; i < strays; ++i) {
    V3 p{};
    for (std::size_t k = 0; k < 3; ++k) {
      p[k] = box_low[k] - 50 + (box_high[k] - box_low[k] + 100) * unit_draw(random);
    }
    points.push_back(p);
  }
  const M3 turn = scan.placed ? placement(random) : M3{{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}};
  std::vector<Vec3> out;
  for (const V3& p : points) {
    out.emplace_back(dot(turn[0], p), dot(turn[1], p), dot(turn[2], p));
    if (scan.placed) out.back() += Vec3(812.5, -377.25, 1450.0);
  }
  return out;
}

}  // namespace bight::geometry::made

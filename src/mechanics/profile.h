// A section cut into smooth shapes, so that an integral over it is a sum of one-dimensional ones.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <span>
#include <vector>

#include "mechanics/gauss.h"
#include "stock/section.h"

namespace bight::mechanics {

// One smooth shape of a section, symmetrical about the plane of bending.
//   kStrip: y from low to high, dA = weight dy                       (weight: width)
//   kArc:   y = centre + radius sin(a), dA = weight da               (weight: both sides'
//   thickness) kDisc:  y = centre + radius sin(a), dA = weight cos(a)^2 da      (weight: 2
//   radius^2, signed)
struct Shape {
  enum class Kind { kStrip, kArc, kDisc };
  Kind kind;
  double centre_mm;
  double radius_mm;
  double low;  // mm for a strip, rad for the others
  double high;
  double weight;
};

// Heights y are measured from the section's centroid, positive away from the bend's centre.
class Profile {
 public:
  explicit Profile(const stock::Section& section);

  const std::vector<Shape>& shapes() const { return shapes_; }
  bool symmetric() const { return symmetric_; }  // about its centroid's width axis
  double area_mm2() const { return area_mm2_; }
  double top_mm() const { return top_mm_; }        // largest y
  double bottom_mm() const { return bottom_mm_; }  // smallest y, negative

 private:
  std::vector<Shape> shapes_;
  bool symmetric_ = true;
  double area_mm2_;
  double top_mm_;
  double bottom_mm_;
};

// Gauss-Legendre points of a smooth piece. The graded ones crowd towards the left end (u^2), where
// a hardening law is steepest. docs/theory/section_integral.md has accuracy against their number.
inline constexpr std::size_t kNodes = 8;
const GaussRule<kNodes>& plain_rule();
const GaussRule<kNodes>& graded_rule();

// Sum of f(y) dA over a profile, where f has kinks at the heights `cuts` (in rising order) and is
// steepest close to `steep_mm`. f returns anything that can be added and multiplied by a double.
template <typename Value, typename F>
Value integrate(const Profile& profile, std::span<const double> cuts, double steep_mm, F&& f);

// ---- implementation ----

namespace detail {

// Height at a shape's own coordinate, and the coordinate of a height inside the shape.
inline double height_at(const Shape& s, double u) {
  return s.kind == Shape::Kind::kStrip ? u : s.centre_mm + s.radius_mm * std::sin(u);
}
inline double coordinate_at(const Shape& s, double y) {
  if (s.kind == Shape::Kind::kStrip) return y;
  return std::asin(std::clamp((y - s.centre_mm) / s.radius_mm, -1.0, 1.0));
}

}  // namespace detail

template <typename Value, typename F>
Value integrate(const Profile& profile, std::span<const double> cuts, double steep_mm, F&& f) {
  Value sum{};
  for (const Shape& s : profile.shapes()) {
    const double steep = std::clamp(detail::coordinate_at(s, steep_mm), s.low, s.high);
    double from = s.low;
    for (std::size_t i = 0; i <= cuts.size() && from < s.high; ++i) {
      const double to =
          i < cuts.size() ? std::clamp(detail::coordinate_at(s, cuts[i]), from, s.high) : s.high;
      if (to <= from) continue;
      const double length = to - from;
      const bool steep_left = std::abs(from - steep) <= std::abs(to - steep);
      const GaussRule<kNodes>& rule = graded_rule();
      for (std::size_t k = 0; k < kNodes; ++k) {
        const double u = steep_left ? from + length * rule.at[k] : to - length * rule.at[k];
        double weight = s.weight * length * rule.weight[k];
        double y = u;
        if (s.kind != Shape::Kind::kStrip) {
          const double sine = std::sin(u);
          y = s.centre_mm + s.radius_mm * sine;
          if (s.kind == Shape::Kind::kDisc) weight *= 1.0 - sine * sine;
        }
        sum = sum + f(y) * weight;
      }
      from = to;
    }
  }
  return sum;
}

}  // namespace bight::mechanics

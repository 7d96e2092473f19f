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

// One smooth shape of a section, by its area at a height; where it stands across the plane of
// bending does not matter here. Area at a coordinate:
//   kStrip  y from low to high, weight dy, weight the width
//   kArc    y = centre + radius sin(a), weight da, weight both sides' radius times thickness
//   kDisc   y = centre + radius sin(a), weight cos(a)^2 da, weight 2 radius^2, signed
struct Shape {
  enum class Kind { kStrip, kArc, kDisc };
  Kind kind;
  double centre_mm;
  double radius_mm;
  double low;  // mm for a strip, rad for the others
  double high;
  double weight_mm2;  // mm for a strip
};

// Heights y are measured from the section's centroid, positive away from the bend's centre.
class Profile {
 public:
  // kCoarse takes a thin wall as one circle at its middle: for searches, not for results.
  enum class Detail { kFine, kCoarse };
  explicit Profile(const stock::Section& section, Detail detail = Detail::kFine);

  const std::vector<Shape>& shapes() const { return shapes_; }
  bool symmetric() const { return symmetric_; }  // about its centroid's width axis
  double area_mm2() const { return area_mm2_; }
  double second_mm4() const { return second_mm4_; }  // about the centroid
  double top_mm() const { return top_mm_; }          // largest y
  double bottom_mm() const { return bottom_mm_; }    // smallest y, negative

 private:
  std::vector<Shape> shapes_;
  bool symmetric_ = true;
  double area_mm2_;
  double second_mm4_;
  double top_mm_;
  double bottom_mm_;
};

// Gauss-Legendre points of a smooth piece: three in a short one. The eight graded ones crowd
// towards the left end (u^2), where a hardening law is steepest. docs/theory/section_integral.md
// has accuracy against their number.
inline constexpr std::size_t kNodes = 8;
inline constexpr std::size_t kShortNodes = 3;
const GaussRule<kShortNodes>& short_rule();
const GaussRule<kNodes>& graded_rule();
// A piece is short below this share of its shape.
inline constexpr double kShort_ratio = 0.06;

// Sum of f(y) dA over a profile, where f has kinks at the heights `cuts` (in rising order) and is
// steepest close to `steep_mm`. f returns anything that can be added and multiplied by a double.
template <typename Value, typename F>
Value integrate(const Profile& profile, std::span<const double> cuts, double steep_mm, F&& f);

// ---- implementation ----

namespace detail {

// A shape's own coordinate of a height inside it.
inline double coordinate_at(const Shape& s, double y) {
  if (s.kind == Shape::Kind::kStrip) return y;
  return std::asin(std::clamp((y - s.centre_mm) / s.radius_mm, -1.0, 1.0));
}

// One piece from a coordinate over a length that may be negative.
template <typename Value, std::size_t N, typename F>
Value piece(const Shape& s, double from_ratio, double length_ratio, const GaussRule<N>& rule,
            F&& f) {
  Value sum{};
  for (std::size_t k = 0; k < N; ++k) {
    const auto u = from_ratio + length_ratio * rule.at[k];
    auto weight = s.weight_mm2 * std::abs(length_ratio) * rule.weight[k];
    double y = u;
    if (s.kind != Shape::Kind::kStrip) {
      const auto sine = std::sin(u);
      y = s.centre_mm + s.radius_mm * sine;
      if (s.kind == Shape::Kind::kDisc) weight *= 1.0 - sine * sine;
    }
    sum = sum + f(y) * weight;
  }
  return sum;
}

}  // namespace detail

template <typename Value, typename F>
Value integrate(const Profile& profile, std::span<const double> cuts, double steep_mm, F&& f) {
  Value sum{};
  for (const Shape& s : profile.shapes()) {
    const auto steep = std::clamp(detail::coordinate_at(s, steep_mm), s.low, s.high);
    auto from = s.low;
    for (std::size_t i = 0; i <= cuts.size() && from < s.high; ++i) {
      const double to =
          i < cuts.size() ? std::clamp(detail::coordinate_at(s, cuts[i]), from, s.high) : s.high;
      if (to <= from) continue;
      const auto length = to - from;
      if (length < kShort_ratio * (s.high - s.low)) {
        sum = sum + detail::piece<Value>(s, from, length, short_rule(), f);
      } else if (std::abs(from - steep) <= std::abs(to - steep)) {
        sum = sum + detail::piece<Value>(s, from, length, graded_rule(), f);
      } else {
        sum = sum + detail::piece<Value>(s, to, -length, graded_rule(), f);
      }
      from = to;
    }
  }
  return sum;
}

}  // namespace bight::mechanics

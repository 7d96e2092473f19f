// A section cut into smooth shapes, so that an integral over it is a sum of one-dimensional ones.
#pragma once

#include <array>
#include <cmath>
#include <cstddef>
#include <vector>

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
  double top_mm() const { return top_mm_; }        // largest y
  double bottom_mm() const { return bottom_mm_; }  // smallest y, negative

 private:
  std::vector<Shape> shapes_;
  double top_mm_;
  double bottom_mm_;
};

// Gauss-Legendre points of a smooth piece, drawn towards its left end (u^2) where a hardening law
// is steepest: nodes in (0, 1) and their weights. Eight points; see docs/theory/section_integral.md
// for accuracy against the number of points.
inline constexpr std::size_t kNodes = 8;
struct Rule {
  std::array<double, kNodes> at;
  std::array<double, kNodes> weight;
};
const Rule& graded_rule();
const Rule& plain_rule();

}  // namespace bight::mechanics

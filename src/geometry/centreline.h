// The centreline in space: straights and arcs, laid out from a bend table.
#pragma once

#include <Eigen/Geometry>
#include <vector>

#include "geometry/bend_table.h"
#include "geometry/frame.h"

namespace bight::geometry {

// One straight or arc. A straight has radius_mm 0 and angle 0.
struct Segment {
  Frame start;
  double length_mm = 0.0;  // along the centreline; negative where neighbours overlap
  double radius_mm = 0.0;
  base::Angle angle;

  bool is_arc() const { return radius_mm > 0.0; }
  // Frame at a distance along the segment, 0..length_mm.
  Frame at(double along_mm) const;
  Vec3 centre_mm() const { return start.origin_mm + start.inward * radius_mm; }
};

// Alternating straights and arcs: straight 0, bend 0, straight 1, … last straight.
struct Centreline {
  std::vector<Segment> segments;
  Frame end;

  Vec3 start_mm() const { return segments.front().start.origin_mm; }
  Vec3 end_mm() const { return end.origin_mm; }
  const Segment& bend(std::size_t index) const { return segments[2 * index + 1]; }
  const Segment& straight(std::size_t index) const { return segments[2 * index]; }
  double length_mm() const;
  // Point at a distance from end A along the centreline, clamped to the ends.
  Vec3 at_mm(double along_mm) const;
  // Points along it, arcs cut so that no chord misses its arc by more than the sagitta.
  std::vector<Vec3> sampled_mm(double sagitta_mm) const;
};

// Lays the table out. By default end A is the origin, the first straight runs along +X and the
// first bend turns towards +Y. Round trip with to_bend_table: below 1e-9 mm for 40 bends, 10 m.
Centreline lay_out(const BendTable& table, const Frame& start = Frame());

// The frame at end B that lays the reversed table out in the same place.
Frame start_at_other_end(const BendTable& table, const Frame& start = Frame());

// Corner points with end A first and end B last. A bend above split_above has a far or no corner
// and is shown by the corners of equal parts of at most 120° each.
std::vector<Vec3> corner_points_mm(const BendTable& table, const Frame& start = Frame(),
                                   base::Angle split_above = base::Angle::degrees(150));

// Smallest axis-aligned box around the tube of the given outside diameter (0: the centreline).
// Exact: ends are flat discs, an arc inside its span is a piece of torus.
Eigen::AlignedBox3d envelope_mm(const Centreline& line, double od_mm);

}  // namespace bight::geometry

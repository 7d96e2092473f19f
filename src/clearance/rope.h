// A stretch of the tube's centreline, straight or arc, that can be halved.
#pragma once

#include <array>
#include <vector>

#include "geometry/centreline.h"

namespace bight::clearance {

// A straight, or an arc of at most 90°. All its points lie within spread_mm() of the straight line
// between near_mm() and far_mm(), and the other way round: an arc of sagitta h lies between its
// chord and the chord's parallel at h, so the line midway between them is off by h/2 at most. [r1]
struct Rope {
  geometry::Vec3 a_mm, b_mm;                          // ends of the centreline piece
  geometry::Vec3 centre_mm = geometry::Vec3::Zero();  // of the arc
  geometry::Vec3 out = geometry::Vec3::Zero();        // from the centre through the middle
  double radius_mm = 0.0;                             // of the arc; 0: straight
  double sag_mm = 0.0;                                // h = R (1 - cos(angle/2))
  double cos_half = 1.0;                              // cos(angle/2)
  double along_a_mm = 0.0, along_b_mm = 0.0;          // on the blank, from end A
  double turned_a_rad = 0.0, turned_b_rad = 0.0;      // bending passed since the die
  bool flat_a = false, flat_b = false;                // the tube ends there
  double from_ratio = 0.0, to_ratio = 1.0;            // when in a motion it is there at all

  geometry::Vec3 near_mm() const { return a_mm + out * (0.5 * sag_mm); }
  geometry::Vec3 far_mm() const { return b_mm + out * (0.5 * sag_mm); }
  double spread_mm() const { return 0.5 * sag_mm; }
  double length_mm() const { return (b_mm - a_mm).norm(); }
  // The two halves: a straight at its middle, an arc at half its angle.
  std::array<Rope, 2> halves() const;
  // Centreline point at a share of the line near→far, carried over to the arc.
  geometry::Vec3 on_centreline_mm(double share_ratio) const;
};

// The segment as ropes: one for a straight, as many as it takes for an arc. The blank runs from
// along_mm to along_end_mm over the segment.
void add_ropes(std::vector<Rope>& ropes, const geometry::Segment& segment, double along_mm,
               double along_end_mm, base::Angle turned_before);

// The same stretch moved.
Rope moved(const Rope& rope, const Eigen::Isometry3d& pose);

}  // namespace bight::clearance

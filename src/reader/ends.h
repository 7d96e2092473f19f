// What the cut at an end of a tube looks like, and where the centreline ends there.
#pragma once

#include <vector>

#include "exchange/step_reading.h"
#include "geometry/centreline.h"
#include "reader/scan.h"

namespace bight::reader {

// A point on an edge of the skin near an end, and the segment of the centreline it goes round.
struct EdgePoint {
  Vec3 point_mm = Vec3::Zero();
  std::size_t segment = 0;
  std::size_t edge = 0;  // of the scan; kNoEdge when the point is from none
};
inline constexpr std::size_t kNoEdge = static_cast<std::size_t>(-1);

struct EndLook {
  bool seen = false;       // enough of the cut was found
  double beyond_mm = 0.0;  // the centreline's true end beyond the line's present one
  exchange::StepEnd end;   // generators measured from the true end
  bool notched = false;    // mostly square with pieces missing
  bool covered = false;    // the skin stops at something that reaches further out than itself
};

// Looks at one end of the line (its last segment when at_b, else its first). points are those of
// the skin's edges near this end, on its last four segments; the cut is where they stop.
// skin_faces, sorted, are the tube's own; turns as from frame_turns().
EndLook look_at_end(const Scan& scan, const std::vector<EdgePoint>& points,
                    const std::vector<std::size_t>& skin_faces, const geometry::Centreline& line,
                    const std::vector<base::Angle>& turns, bool at_b);

// Flat faces that close the tube within its outside size, further out than beyond_mm: the land of
// a bevelled end. Returns how far out the centreline meets the furthest, or beyond_mm.
double furthest_cap_mm(const Scan& scan, const std::vector<std::size_t>& bodies,
                       const geometry::Centreline& line, bool at_b, double half_size_mm,
                       double beyond_mm);

// Moves the two ends along the centreline by this much outwards (negative: inwards, into the bend
// where the straight is too short).
struct Trimmed {
  geometry::BendTable table;
  geometry::Frame start;
};
Trimmed trimmed(const geometry::BendTable& table, const geometry::Frame& start, double beyond_a_mm,
                double beyond_b_mm);

// The same tube from its other end.
Trimmed from_other_end(const geometry::BendTable& table, const geometry::Frame& start);

}  // namespace bight::reader

// What the cut at an end of a tube looks like, and where the centreline ends there.
#pragma once

#include <vector>

#include "exchange/step_reading.h"
#include "geometry/centreline.h"
#include "reader/scan.h"

namespace bight::reader {

// A face carrying the skin near an end, and the segment of the centreline it goes round.
struct EndFace {
  std::size_t face = 0;
  std::size_t segment = 0;
};

struct EndLook {
  bool seen = false;       // enough of the cut was found
  double beyond_mm = 0.0;  // the centreline's true end beyond the line's present one
  exchange::StepEnd end;   // generators measured from the true end
  bool notched = false;    // mostly square with pieces missing
};

// Looks at one end of the line (its last segment when at_b, else its first). faces are those that
// carry the skin near this end, of its last two or three segments; the cut is where they stop.
EndLook look_at_end(const Scan& scan, const std::vector<EndFace>& faces,
                    const geometry::Centreline& line, bool at_b);

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

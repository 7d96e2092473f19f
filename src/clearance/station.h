// The tube laid out at the die: what lies ahead of it, what lies behind.
#pragma once

#include <vector>

#include "clearance/step_clearance.h"
#include "geometry/centreline.h"

namespace bight::clearance {

// The place at the die where the tube runs in, in the machine frame.
struct Station {
  geometry::Frame tangent;  // ahead is the feed, inward towards the die's axis
  double hand = 1.0;        // +1 counter-clockwise seen from above, -1 clockwise
  double level_mm = 0.0;    // of the groove

  geometry::Vec3 outward() const { return -tangent.inward; }
};

Station station(const Setup& setup, std::size_t die, double die_radius_mm);

// Height of a die's groove above the lowest. Failure code: clearance.die.
base::Result<double> level_mm(const Setup& setup, const workshop::DieSet& die);

// One straight or arc of the tube and where it lies on the blank.
struct Piece {
  geometry::Segment segment;
  double along_mm = 0.0;      // at the segment's start, from end A
  double along_end_mm = 0.0;  // at its end
  base::Angle turned;         // bending passed from the die up to its start
};

enum class Side { kAhead, kBehind };

// The tube on one side of the bend being made, from the die outwards: straight, arc, straight … the
// first and last always a straight, if only of no length. Bends not yet made are part of a
// straight, but turn the plane of what follows. `frame` is where that side begins: its ahead points
// away from the die along the tube, its inward towards the inside of the bend being made.
std::vector<Piece> lay_side(const Tube& tube, const Step& step, Side side,
                            const geometry::Frame& frame);

// The same line seen from its other end.
geometry::Frame turned_back(const geometry::Frame& frame);
geometry::Segment turned_back(const geometry::Segment& segment);

geometry::Frame moved(const geometry::Frame& frame, const Eigen::Isometry3d& pose);

// Total of the made bends on one side.
base::Angle bending_on(const Tube& tube, const Step& step, Side side);

}  // namespace bight::clearance

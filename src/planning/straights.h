// Straight tube beside a bend at the moment it is made.
#pragma once

#include <vector>

#include "geometry/bend_table.h"
#include "planning/work_order.h"

namespace bight::planning {

// Up to the next bend that is made by then, or to the part's end.
struct Run {
  double length_mm = 0.0;  // of the part; grip and trim come on top
  bool to_end = false;     // else to a made bend
  std::size_t first = 0;   // straights of the part it covers, counted from end A: first..last
  std::size_t last = 0;    // more than one where bends between are not yet made
};

struct Beside {
  Run ahead;   // for the clamp
  Run behind;  // for pressure die and collet
};

// For each step of the order. `arc_mm` is the blank each bend uses, counted from end A.
// Pre: the order names each bend of the table once.
std::vector<Beside> straights_beside(const geometry::BendTable& bent,
                                     const std::vector<double>& arc_mm, const BendOrder& order);

}  // namespace bight::planning

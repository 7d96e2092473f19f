// Where the scanned skin of a tube stops.
#pragma once

#include <vector>

namespace bight::geometry {

struct EndFit {
  double at_mm = 0.0;    // along the axis
  double u_mm = 0.0;     // one sigma
  bool on_face = false;  // more points lie at the end than the skin explains: the cut face is seen
};

// The place where evenly spread points along a line stop, towards larger numbers. The outermost
// quarter radius that is still a quarter as crowded as usual holds the end; there the edge of a
// uniform spread blurred by the points' own noise is fitted by maximum likelihood. Points scattered
// beyond the end do not count.
// @pre not empty
EndFit upper_end(std::vector<double> along_mm, double tube_radius_mm, double noise_mm);

}  // namespace bight::geometry

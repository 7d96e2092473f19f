// Thinning a tube's surface to the line through its middle.
#pragma once

#include <vector>

#include "geometry/fit_surface.h"

namespace bight::geometry {

// A run of centre points in order along the tube, about half a radius apart.
struct Spine {
  Points points_mm;
  double noise_mm = 0.0;  // of one point, across the line

  double length_mm() const;
};

struct SpineSearch {
  std::vector<Spine> pieces;       // runs of one tube in order, holes in the scan between them
  std::vector<double> holes_mm;    // between consecutive pieces and inside them, above 2 radii
  std::size_t num_other_runs = 0;  // tube-like runs that belong to something else
  double seen_length_mm = 0.0;     // of the pieces
};

// Follows the centre of a tube of about this radius through the surface. Each patch of surface
// points to two places one radius along its normal; the places on the true side of all patches
// crowd along the spine. The search starts where they crowd most and steps along. Holes of up to 8
// radii are stepped over; runs further apart are joined where their ends point at each other.
// No pieces when nothing tube-like is found.
SpineSearch find_spine(const Surface& surface, double radius_mm, Shuffler& shuffler);

// Distance of each surface point to the nearest spine chord; infinite beyond three radii.
std::vector<double> distances_to_spine_mm(const Surface& surface, const SpineSearch& search,
                                          double radius_mm);

}  // namespace bight::geometry

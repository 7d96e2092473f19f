// A run of spine points told apart into straights and arcs.
#pragma once

#include <vector>

#include "geometry/bend_table.h"
#include "geometry/fit_shapes.h"

namespace bight::geometry {

// One straight or arc through consecutive points, ends shared with its neighbours.
struct SpineSegment {
  bool is_arc = false;
  std::size_t first = 0;  // indices into the points
  std::size_t last = 0;
  Vec3 point_mm = Vec3::Zero();    // on the line, or the arc's centre
  Vec3 direction = Vec3::UnitX();  // along the line as travelled, or the arc's axis, right-handed
  double radius_mm = 0.0;
};

// The cheapest split of the points into lines and circular arcs: summed squared misfit over the
// noise plus a price for each parameter, by dynamic programming over all splits.
// @pre at least 2 points
std::vector<SpineSegment> split_spine(const Points& points_mm, double noise_mm);

struct RoughTable {
  std::vector<BendRow> rows;
  double last_straight_mm = 0.0;
  Frame start;
};

// A bend table through corner points, where a bend marked true continues the one before: a long
// bend given by several corners. Failure codes: those of to_bend_table.
base::Result<RoughTable> table_through(const Points& corners_mm,
                                       const std::vector<double>& radii_mm,
                                       const std::vector<bool>& same_bend);

// A bend table near the segments: straights laid through their lines, corners where neighbours
// meet. Made to start a fit from: within a noise or two of the points. A bend of which no arc was
// seen gets the usual radius. Failure codes: those of to_bend_table.
base::Result<RoughTable> rough_table(const Points& points_mm,
                                     const std::vector<SpineSegment>& segments,
                                     double tube_radius_mm);

}  // namespace bight::geometry

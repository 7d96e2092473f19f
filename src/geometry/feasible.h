// When arcs eat their straights: which radii would fit.
#pragma once

#include <optional>
#include <vector>

#include "geometry/bend_table.h"

namespace bight::geometry {

// One corner path as the radius problem sees it: leg i runs from corner i to corner i + 1 and
// holds tangent_ratio[i] R_i + tangent_ratio[i+1] R_{i+1} <= leg_mm[i] - least_straight_mm[i],
// with tangent_ratio = tan(angle / 2). Linear in the radii.
struct RadiusProblem {
  std::vector<double> leg_mm;             // num_bends + 1
  std::vector<double> least_straight_mm;  // num_bends + 1
  std::vector<double> tangent_ratio;      // num_bends, > 0
  std::vector<double> wanted_mm;          // num_bends
};

// From a table whose bends are all below 180° (absent otherwise: such a bend has no corner).
// least_straight_mm is the same for every leg between bends; the end legs need none.
std::optional<RadiusProblem> radius_problem(const BendTable& table, double least_straight_mm);

struct RadiusAnswer {
  bool possible = false;           // some set of radii fits
  std::vector<double> radii_mm;    // fits, none above wanted, least total reduction
  double largest_common_mm = 0.0;  // one radius for all bends, not above the largest wanted
};

// Largest radii that fit, by linear programme: minimise the summed reduction with
// 0 < R_i <= wanted_i. Solved by CLP; exact to its tolerance of 1e-7 mm.
// Impossible when a leg is shorter than its least straight.
RadiusAnswer largest_radii(const RadiusProblem& problem);

}  // namespace bight::geometry

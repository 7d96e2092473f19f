// A bent round tube out of a cloud of points on its skin.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "geometry/bend_table.h"
#include "geometry/fit_shapes.h"

namespace bight::geometry {

struct TubeFitOptions {
  // As measured with a caliper. It then guides the search, and is held in the fit when less than
  // 200° of the girth are seen: over so little, the fit cannot tell diameter from offset.
  std::optional<double> od_mm;
  // End A is the end with the longer end straight; true takes the other.
  bool swap_ends = false;
  std::uint64_t seed = 1;  // of the repeatable choice of points
};

// One sigma of a row of the table: from the Jacobian of the fit, or from what neighbouring points
// have in common, whichever is larger.
struct RowUncertainty {
  double straight_mm = 0.0;
  base::Angle rotation;  // 0 for the first bend, whose rotation is 0 by definition
  base::Angle angle;
  double radius_mm = 0.0;
};

struct TubeFit {
  BendTable table;
  Frame start;  // places lay_out(table, start) in the scan
  double od_mm = 0.0;
  bool od_held = false;  // the caliper's, not fitted
  double od_u_mm = 0.0;  // one sigma; 0 when held
  std::vector<RowUncertainty> u;
  double last_straight_u_mm = 0.0;

  std::size_t num_points = 0;    // in the cloud
  std::size_t num_flat = 0;      // set aside on flat things
  std::size_t num_used = 0;      // on the tube's skin
  double rms_mm = 0.0;           // of the distances of the used points from the skin
  double worst_mm = 0.0;         // largest of them
  double sigma_mm = 0.0;         // robust standard deviation of one point
  base::Angle girth_seen;        // average along the tube
  std::vector<double> holes_mm;  // stretches of the tube without points, above one diameter
  std::size_t num_other_runs = 0;
  std::optional<double> inner_radius_mm;  // of a second skin inside, where one was seen
  bool ends_alike = false;  // both ends look the same: which one is A hangs on the scan's origin
  bool swapped = false;     // swap_ends was asked for

  // One radius for all bends that no bend contradicts by more than three sigma. A suggestion: the
  // table keeps the fitted ones.
  std::optional<double> shared_radius_mm;
  double shared_radius_u_mm = 0.0;
  // Bends, 0-based, of whose arc less than 15 % was seen: their radius is that of the others where
  // the points allow it, else a guess.
  std::vector<std::size_t> hidden_bends;
};

// Finds the tube, its straights and bends, its diameter and its ends. `even_mm`, when given, holds
// points spread evenly over the same skin (a mesh sampled by area): the search and the ends use
// them, the fit uses points_mm.
//
// End A is the end with the longer end straight; when they agree to 1 mm, the end with the larger
// first bend angle (by 0.5°), then with the longer next straight; when all agree, the end nearer to
// the scan's origin.
//
// Failure codes: scan.points, scan.one-place, scan.line, scan.plane, scan.sphere, scan.flat-faces
// (only flat faces), scan.no-tube (no round tube stands out), scan.little-tube (less than 3 % of
// the points lie on it), scan.not-bent-tube (its run is no chain of straights and arcs).
base::Result<TubeFit> fit_tube(const Points& points_mm, const TubeFitOptions& options = {},
                               const Points& even_mm = {});

}  // namespace bight::geometry

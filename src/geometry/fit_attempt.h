// One go at a tube of about a given radius in a scan.
#pragma once

#include <optional>
#include <vector>

#include "geometry/fit_axis.h"
#include "geometry/fit_spine.h"
#include "geometry/fit_surface.h"

namespace bight::geometry {

struct TubeAttempt {
  SpineSearch spine;
  AxisFit fit;
  AxisEvidence evidence;
  AxisFitOptions fitting;  // what was held
  base::Angle girth_seen;  // average along the tube
  bool od_held = false;    // held at the caliper's, less than 200° of girth being seen
  std::optional<double> inner_radius_mm;  // of a second skin inside
  std::vector<std::size_t> hidden_bends;  // less than 15 % of the arc is seen
};

// Spine, straights and arcs, then the global fit: on a share of the points, tidied, on all points.
// surface is the thinned skin, skin_mm all of it. od_mm is the caliper's, when there is one.
// Failure codes: scan.no-tube, scan.not-bent-tube.
base::Result<TubeAttempt> attempt_tube(const Surface& surface, const Points& skin_mm,
                                       double radius_mm, std::optional<double> od_mm,
                                       Shuffler& shuffler);

}  // namespace bight::geometry

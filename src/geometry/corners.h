// Corner points with radii -> bend table.
#pragma once

#include <string>
#include <vector>

#include "geometry/bend_table.h"
#include "geometry/frame.h"

namespace bight::geometry {

// Something dropped or doubtful in the points.
struct CornerNote {
  std::string code;   // "corners.coincident", "corners.collinear"
  std::size_t point;  // 0-based index in the input
  std::string message;
};

struct CornerOptions {
  // A corner that turns less than this is no bend: it is dropped with a note.
  base::Angle straight_below = base::Angle::degrees(0.01);
  // Points closer than this are one point.
  double coincident_below_mm = 1e-6;
};

struct FromCorners {
  BendTable table;
  Frame start;                           // places lay_out(table, start) back on the points
  std::vector<std::size_t> bend_points;  // input point of each bend
  std::vector<CornerNote> notes;
};

// Bend table of a polyline with a radius at each inner point (radii_mm[i] belongs to
// points_mm[i + 1]). Straights that the arcs eat come out negative: see overlaps(), feasible.h.
// A part of two points is a straight tube: a table without bends.
// theta = atan2(|N|, u.v), rotation = atan2((N' x N).u, N'.N): route-surveying tangents and the
// dihedral angle; full digits at any angle.
// Failure codes: corners.few (fewer than 2 distinct points), corners.number (not finite),
// corners.radii (count or value of radii), corners.reversal (a leg turns straight back: no plane).
base::Result<FromCorners> to_bend_table(const std::vector<Vec3>& points_mm,
                                        const std::vector<double>& radii_mm,
                                        const CornerOptions& options = {});

// How badly a bend's plane is known from points: one-sigma error of the rotation for points known
// to sigma_mm each, between legs of leg_mm, sigma sqrt(6) / (leg sin(angle)). Large for shallow
// bends: 8° at 1° over 100 mm legs known to 0.1 mm. Capped at 180°. (Derived; checked by
// simulation in the tests.)
base::Angle plane_uncertainty(base::Angle angle, double leg_mm, double sigma_mm);

}  // namespace bight::geometry

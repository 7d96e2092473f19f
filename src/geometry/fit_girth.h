// What a cloud of points is, before a tube is looked for in it: flat parts set aside, the tube's
// radius found.
#pragma once

#include <optional>
#include <vector>

#include "geometry/fit_surface.h"

namespace bight::geometry {

// A flat patch much wider than the tube's: a table, a wall, a plate.
struct FlatPatch {
  PlaneFit plane;
  double tolerance_mm = 0.0;  // points nearer than this belong to it
  double share_ratio = 0.0;   // of the surface's points
};

// Planes that hold at least 15 % of what is left of the surface and end in edges, largest first, at
// most six. A strip along a tube, of which little more may be seen, curves away beside them and is
// left alone.
std::vector<FlatPatch> flat_patches(const Surface& surface, Shuffler& shuffler);

// Whether a point belongs to one of the patches.
bool on_patch(const std::vector<FlatPatch>& patches, const Vec3& p_mm);

// Stops on clouds that hold no surface of a tube at all. Failure codes: scan.points (too few),
// scan.one-place (all in one place), scan.line (along one line), scan.plane (in one plane),
// scan.sphere.
base::Status check_is_no_simple_shape(const Surface& surface);

struct Girth {
  double radius_mm = 0.0;
  double support_ratio = 0.0;  // share of the sampled places that show it
};

// Radii of round tube that the surface shows, best supported first: cylinders through pairs of
// points with normals at many places and over balls of many sizes, each fitted and voted on.
std::vector<Girth> girths(const Surface& surface, Shuffler& shuffler);

}  // namespace bight::geometry

// Drawings that dimension to a face of the tube instead of its centreline.
#pragma once

#include <vector>

#include "base/result.h"
#include "geometry/frame.h"

namespace bight::geometry {

// Which line the drawn points follow. Left and right are seen along the direction of travel from
// end A with the drawing's plane facing the reader.
enum class Face { kCentre, kOutside, kInside, kLeft, kRight };

// Centreline corner points of a planar part whose corners are drawn on one face of a tube of the
// given size across the drawing plane. End points move square to their leg.
// Outside and inside ask that all corners turn the same way (a U, a hoop); a jog must name the
// left or right face. The plane is found from the points; they must lie in it to 0.01 mm.
// Failure codes: faces.plane (not planar), faces.mixed (corners turn both ways),
// faces.few (needs a corner).
base::Result<std::vector<Vec3>> centreline_from_face(const std::vector<Vec3>& points_mm, Face face,
                                                     double size_mm);

// Centreline radius from a radius drawn to a face of the tube.
double centreline_radius_mm(double radius_mm, Face face, double size_mm);

}  // namespace bight::geometry

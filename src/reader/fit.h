// Planes, cylinders and tori hidden in free-form surfaces.
#pragma once

#include <optional>
#include <vector>

#include "reader/scan.h"

namespace bight::reader {

// A sampled surface is taken for a plane, cylinder or torus when no sample lies further from it
// than this. Free-form copies of exact surfaces keep to micrometres; modellers that approximate
// commonly allow a hundredth.
inline constexpr double kFitTolerance_mm = 0.02;

// A unit vector square to the axis.
Vec3 any_perpendicular(const Vec3& axis);

struct Circle {
  Vec3 centre_mm = Vec3::Zero();
  Vec3 axis = Vec3::UnitZ();
  double radius_mm = 0.0;
  double residual_mm = 0.0;  // largest distance of a point from the circle
};

// Least-squares circle through points in space. Absent for fewer than 3 points or points in line
// (to 3e-7 of their extent).
std::optional<Circle> fit_circle(const std::vector<Vec3>& points_mm);

// Centres of the circles that the grid's lines of one direction run round, in order.
struct Spine {
  std::vector<Vec3> points_mm;
  double radius_mm = 0.0;  // mean; negative where the normals look at the centres
  double radius_spread_mm = 0.0;
};

// The spine when p - r n stands still along every line of the grid (the rows, or the columns) to
// five times the tolerance; absent otherwise.
std::optional<Spine> spine_along(const ScanFace& face, bool lines_are_rows);

// Whether a face's samples lie on a cylinder, or on a torus, within the tolerance; the face then
// has that kind and its parameters.
bool recognise_cylinder(ScanFace& face);
bool recognise_torus(ScanFace& face);

// Gives every free-form face that is a plane, cylinder or torus within the tolerance its true kind
// and parameters. Others keep kFree.
void recognise_free_faces(Scan& scan);

}  // namespace bight::reader

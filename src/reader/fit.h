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

struct Circle {
  Vec3 centre_mm = Vec3::Zero();
  Vec3 axis = Vec3::UnitZ();
  double radius_mm = 0.0;
  double residual_mm = 0.0;  // largest distance of a point from the circle
};

// Least-squares circle through points in space. Absent for fewer than 3 points or points in line
// (to 3e-7 of their extent).
std::optional<Circle> fit_circle(const std::vector<Vec3>& points_mm);

// Gives every free-form face that is a plane, cylinder or torus within the tolerance its true kind
// and parameters. Others keep kFree.
void recognise_free_faces(Scan& scan);

}  // namespace bight::reader

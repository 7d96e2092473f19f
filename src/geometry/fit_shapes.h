// Lines, planes, circles, spheres, cylinders and tori through points, by orthogonal distance.
#pragma once

#include <optional>
#include <vector>

#include "base/angle.h"
#include "base/result.h"
#include "geometry/frame.h"

namespace bight::geometry {

using Points = std::vector<Vec3>;

struct LineFit {
  Vec3 point_mm = Vec3::Zero();  // centroid
  Vec3 direction = Vec3::UnitX();
  double rms_mm = 0.0;
};

struct PlaneFit {
  Vec3 point_mm = Vec3::Zero();  // centroid
  Vec3 normal = Vec3::UnitZ();
  double rms_mm = 0.0;
};

struct SphereFit {
  Vec3 centre_mm = Vec3::Zero();
  double radius_mm = 0.0;
  double rms_mm = 0.0;
};

struct CircleFit {
  Vec3 centre_mm = Vec3::Zero();
  Vec3 normal = Vec3::UnitZ();
  double radius_mm = 0.0;
  double rms_mm = 0.0;  // of the distances in space
};

struct CylinderFit {
  Vec3 point_mm = Vec3::Zero();  // on the axis, beside the points' centroid
  Vec3 direction = Vec3::UnitX();
  double radius_mm = 0.0;
  double rms_mm = 0.0;
  double radius_u_mm = 0.0;  // one sigma, from the Jacobian, points independent
};

struct TorusFit {
  Vec3 centre_mm = Vec3::Zero();
  Vec3 axis = Vec3::UnitZ();
  double ring_radius_mm = 0.0;  // the bend's centreline radius
  double tube_radius_mm = 0.0;
  double rms_mm = 0.0;
};

struct ShapeFitOptions {
  // Points further than this from the shape count for nothing (Tukey's biweight); 0 = plain least
  // squares. The start must then be within it.
  double loss_limit_mm = 0.0;
  std::optional<double> fixed_radius_mm;  // cylinder radius, or tube radius of a torus
};

// Least squares, closed form by principal axes. Failure codes: fit.few (fewer than 2 points, for
// the plane 3), fit.number (not finite), fit.flat (the points do not span the shape).
base::Result<LineFit> fit_line(const Points& points_mm);
base::Result<PlaneFit> fit_plane(const Points& points_mm);

// Orthogonal distance, started from the algebraic circle (Kasa) or sphere. Codes as above.
base::Result<CircleFit> fit_circle(const Points& points_mm);
base::Result<SphereFit> fit_sphere(const Points& points_mm, const ShapeFitOptions& options = {});

// Orthogonal distance by Levenberg-Marquardt (Shakarji, J. Res. NIST 103, 1998, 633-641). Without
// a start the best of a grid of directions over the half sphere is taken. Needs 5 points, with a
// fixed radius 4. Codes as above.
base::Result<CylinderFit> fit_cylinder(const Points& points_mm,
                                       const std::optional<CylinderFit>& start = std::nullopt,
                                       const ShapeFitOptions& options = {});

// Orthogonal distance by Levenberg-Marquardt from a start that has the axis to some 30° and both
// radii to a half. Needs 7 points. Codes as above.
base::Result<TorusFit> fit_torus(const Points& points_mm, const TorusFit& start,
                                 const ShapeFitOptions& options = {});

// Signed distances from the shape's surface, outside positive.
double distance_mm(const CylinderFit& cylinder, const Vec3& p_mm);
double distance_mm(const TorusFit& torus, const Vec3& p_mm);

}  // namespace bight::geometry

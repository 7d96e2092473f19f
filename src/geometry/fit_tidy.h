// Setting a fitted tube in order: bends that are none, one bend fitted as two, which end is A.
#pragma once

#include "geometry/fit_axis.h"
#include "geometry/fit_tube.h"

namespace bight::geometry {

// The fit with bends left out that the points do not ask for, and neighbours in one plane without
// a straight between them made one where the points do not mind: the robust cost may rise by 0.3 %.
AxisFit tidied_fit(AxisFit fit, const Points& points_mm, const AxisFitOptions& options);

// Leaves out one bend whose angle is below three sigma of itself (covariance in columns_of order)
// and below 10°, or of any angle at an end beyond which there is nothing; false when there is none.
// The axis then wants fitting again.
bool drop_unproven_bend(AxisFit& fit, const Eigen::MatrixXd& covariance);

// Fills in shared_radius_mm when there are two bends or more and none contradicts.
void suggest_shared_radius(TubeFit& fit);

// Turns the fit round so that end A is the one the rule of fit_tube names, or the other.
void order_ends(TubeFit& fit, bool swap);

}  // namespace bight::geometry

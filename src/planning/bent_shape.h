// The shape the part will really have: the drawing's corners with the radii after release.
#pragma once

#include <vector>

#include "geometry/bend_table.h"

namespace bight::planning {

// Above this the corner lies so far out that nobody dimensions to it; the return's own reach is
// kept instead.
inline constexpr base::Angle kHoldReachAbove = base::Angle::degrees(150);

// The table with radii_mm in place of the drawn radii. Corners stay where the drawing puts them:
// each straight gives or takes (radius - drawn) tan(angle/2) at its end. For bends above
// kHoldReachAbove the furthest point of the return stays instead, along both legs: the straights
// change by (radius - drawn). One radius for each bend.
geometry::BendTable with_radii(const geometry::BendTable& drawn,
                               const std::vector<double>& radii_mm);

}  // namespace bight::planning

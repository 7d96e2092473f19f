// Questions asked backwards: which die, which angle, how tight at most.
#pragma once

#include "base/result.h"
#include "mechanics/bend.h"

namespace bight::mechanics {

// Die radius whose bend releases to a wanted centreline radius, the rest of the case as given (its
// die radius is not read). Failure codes: bend.unreachable when no die radius down to just above
// half the section's height does it; those of predict_bend().
base::Result<double> die_radius_for_mm(const BendCase& bend, double released_radius_mm);

// Smallest die radius at which the outer wall keeps at least this share. Failure codes:
// bend.unreachable when no radius up to a thousand heights keeps it; bend.input (share not in
// (0, 1)); those of predict_bend().
base::Result<double> smallest_radius_for_wall_mm(const BendCase& bend, double wall_ratio);

// Smallest die radius at which the outermost fibre's engineering strain stays at or below a limit
// (say, the elongation). Failure codes: as above.
base::Result<double> smallest_radius_for_strain_mm(const BendCase& bend, double strain_ratio);

}  // namespace bight::mechanics

// What an angle does sideways when it is rolled: its plane of bending is none of its principal
// planes, so it pushes out of it. Derivation: docs/theory/open_sections.md.
#pragma once

#include "stock/flow_curve.h"
#include "stock/section.h"

namespace bight::mechanics {

// Sideways curvatures count positive where the bar becomes convex on the side x grows to: for an
// angle, the side of the toe of the leg that lies across the plane of bending. All are 0 for a
// section whose product of inertia is 0.
struct SideBow {
  // Of an elastic bar that nothing guides: sideways curvature as a share of the curvature, -Ixy/Ix.
  double unguided_ratio = 0.0;
  double moment_nmm = 0.0;       // in the plane, loaded
  double side_moment_nmm = 0.0;  // what the guides must carry to keep it in its plane
  // After release, guides gone.
  double released_per_mm = 0.0;  // in the plane
  double sideways_per_mm = 0.0;
};

// Plane sections, guided in its plane while it is bent to loaded_radius_mm (to the centroid,
// positive, above the distance of the innermost fibre: the caller's to check), elastic release
// about both axes. Torsion is left out: an open section twists as well, by an amount that depends
// on how the rolls hold it.
SideBow side_bow(const stock::Section& section, const stock::FlowCurve& curve,
                 double loaded_radius_mm);

// Shear centre of a channel, from the middle of its web away from the flanges, thin walls:
//   e = 3 b^2 tf/(6 b tf + h tw), b and h to the middles of the walls (textbook result).
// A force that does not act through it twists the bar. 0 for other sections.
double shear_centre_mm(const stock::Section& section);

}  // namespace bight::mechanics

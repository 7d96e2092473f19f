// The measures of an out-of-round section. They differ in value and in name; a limit is only ever
// compared with the measure its standard uses.
#pragma once

#include "base/result.h"

namespace bight::mechanics {

// Diameters of one section of a bend.
struct SectionDiameters {
  double largest_mm = 0.0;
  double smallest_mm = 0.0;
  double nominal_mm = 0.0;  // D0: nominal, or average measured before bending if the rule says so
};

// Every measure in use, of the same section.
struct OvalityMeasures {
  double of_nominal_ratio = 0.0;  // u1 = (Dmax - Dmin) / D0 (ASME B31, ISO, DNV)
  double of_mean_ratio = 0.0;     // u2 = 2 (Dmax - Dmin) / (Dmax + Dmin) (EN)
  double least_ratio = 0.0;       // Dmin / D0 (aircraft fluid lines)
  double round_ratio = 0.0;       // Dmin / Dmax (roll-cage rules)
};

// Failure codes: ovality.size (a diameter not positive and finite, or largest below smallest).
base::Result<OvalityMeasures> ovality_measures(const SectionDiameters& diameters);

}  // namespace bight::mechanics

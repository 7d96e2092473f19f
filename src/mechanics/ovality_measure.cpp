#include "mechanics/ovality_measure.h"

#include <fmt/format.h>

#include <cmath>

namespace bight::mechanics {

base::Result<OvalityMeasures> ovality_measures(const SectionDiameters& diameters) {
  const auto positive = [](double value) { return std::isfinite(value) && value > 0; };
  const double most_mm = diameters.largest_mm;
  const double least_mm = diameters.smallest_mm;
  if (!positive(most_mm) || !positive(least_mm) || !positive(diameters.nominal_mm) ||
      most_mm < least_mm) {
    return base::Failure{"ovality.size", "",
                         fmt::format("diameters {} and {} mm on nominal {} mm are not a section",
                                     most_mm, least_mm, diameters.nominal_mm),
                         "give the largest, then the smallest measured diameter"};
  }
  return OvalityMeasures{(most_mm - least_mm) / diameters.nominal_mm,
                         2 * (most_mm - least_mm) / (most_mm + least_mm),
                         least_mm / diameters.nominal_mm, least_mm / most_mm};
}

}  // namespace bight::mechanics

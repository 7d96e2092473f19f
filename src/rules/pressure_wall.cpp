#include "rules/pressure_wall.h"

#include <fmt/format.h>

#include <cmath>

namespace bight::rules {

base::Result<BendFactors> bend_factors(double od_mm, double clr_mm) {
  const double k = clr_mm / od_mm;
  if (!(od_mm > 0) || !std::isfinite(k) || !(k > 0.5)) {
    return base::Failure{"rules.fact", "centreline radius",
                         fmt::format("radius {} mm is not above half of {} mm", clr_mm, od_mm),
                         "give the centreline radius and the outside diameter"};
  }
  return BendFactors{(4 * k - 1) / (4 * k - 2), (4 * k + 1) / (4 * k + 2)};
}

double bend_wall_mm(const PressureDesign& design, double bend_factor_ratio) {
  return design.pressure_mpa * design.od_mm /
             (2 *
              (design.allowable_mpa / bend_factor_ratio + design.pressure_mpa * design.y_ratio)) +
         design.allowance_mm;
}

}  // namespace bight::rules

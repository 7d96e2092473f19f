// Bend factors of the pressure piping codes, and the wall they lead to.
#pragma once

#include "base/result.h"

namespace bight::rules {

// I of the inside and outside of a bend; the side wall has I = 1.
struct BendFactors {
  double intrados_ratio = 0.0;  // (4 R/D - 1) / (4 R/D - 2)
  double extrados_ratio = 0.0;  // (4 R/D + 1) / (4 R/D + 2)
};

// Failure codes: rules.fact (sizes not positive, or R not above D/2 where the inside has no limit).
// Source: published calculation sheet to ASME B31.1-2018, 102.4.5 (20 values reproduced). EN
// 13480-3 has the same ratio as (R/D ∓ 0.25)/(R/D ∓ 0.5), recalled; algebra identical.
base::Result<BendFactors> bend_factors(double od_mm, double clr_mm);

struct PressureDesign {
  double od_mm = 0.0;
  double pressure_mpa = 0.0;
  double allowable_mpa = 0.0;  // S E W
  double y_ratio = 0.0;
  double allowance_mm = 0.0;
};

// t = P D / (2 (S E W / I + P y)) + A [mm]. Source: ASME B31.1 102.4.5 / B31.3 304.2.1, recalled:
// unconfirmed. @pre design sizes and factor positive.
double bend_wall_mm(const PressureDesign& design, double bend_factor_ratio);

}  // namespace bight::rules

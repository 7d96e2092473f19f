// The trade's single number for how hard a rotary-draw bend will be to set up.
#pragma once

#include "base/angle.h"
#include "base/result.h"

namespace bight::mechanics {

// A bend is called relatively simple up to this number; above it the set-up must be precise.
// Source: the formula sheet that gives the formula (trade, address withheld); VERIFIED.
inline constexpr double kSimpleBendDifficulty_ratio = 7.0;

// Grip factor Kr for most materials, same sheet.
inline constexpr double kGripFactor_ratio = 2.0;

struct DifficultyFacts {
  double od_mm = 0.0;
  double wall_mm = 0.0;
  double clr_mm = 0.0;
  base::Angle bend;
  double grip_factor_ratio = kGripFactor_ratio;
};

struct Difficulty {
  double wall_factor_ratio = 0.0;  // W = D / t
  double d_of_bend_ratio = 0.0;    // k = R / D
  double number_ratio = 0.0;       // Fb
  bool simple = true;              // Fb <= kSimpleBendDifficulty_ratio
};

// Fb = (2 Kr + 0.2 W + B / 180°) / k, with W = D/t, k = R/D and the bend angle B.
// Rises with wall factor and angle, falls with radius. Bend 0° is allowed (the straight limit).
// Failure codes: difficulty.size (a size not finite, not positive, or wall >= D/2),
// difficulty.angle (outside 0..360°).
// Source: trade formula sheet (address withheld), VERIFIED; see docs/theory/tooling.md.
base::Result<Difficulty> bend_difficulty(const DifficultyFacts& facts);

}  // namespace bight::mechanics

#include "mechanics/difficulty.h"

#include <fmt/format.h>

#include <cmath>

namespace bight::mechanics {

base::Result<Difficulty> bend_difficulty(const DifficultyFacts& facts) {
  const auto positive = [](double value) { return std::isfinite(value) && value > 0; };
  if (!positive(facts.od_mm) || !positive(facts.wall_mm) || !positive(facts.clr_mm) ||
      !positive(facts.grip_factor_ratio) || facts.wall_mm >= facts.od_mm / 2) {
    return base::Failure{"difficulty.size", "",
                         fmt::format("tube {} x {} mm on radius {} mm is not a tube bend",
                                     facts.od_mm, facts.wall_mm, facts.clr_mm),
                         "give positive sizes with the wall below half the diameter"};
  }
  if (!(facts.bend.deg() >= 0 && facts.bend.deg() <= 360)) {
    return base::Failure{"difficulty.angle", "",
                         fmt::format("bend angle {:.3f}° is outside 0° to 360°", facts.bend.deg()),
                         "give the change of direction of one bend"};
  }
  Difficulty result;
  result.wall_factor_ratio = facts.od_mm / facts.wall_mm;
  result.d_of_bend_ratio = facts.clr_mm / facts.od_mm;
  result.number_ratio =
      (2 * facts.grip_factor_ratio + 0.2 * result.wall_factor_ratio + facts.bend.deg() / 180.0) /
      result.d_of_bend_ratio;
  result.simple = result.number_ratio <= kSimpleBendDifficulty_ratio;
  return result;
}

}  // namespace bight::mechanics

// Which trial bend is worth making next.
#pragma once

#include <optional>
#include <vector>

#include "learning/springback_model.h"

namespace bight::learning {

struct BestTrial {
  base::Angle set;         // bend this
  base::Angle worst_at;    // wanted angle that is known worst now
  base::Angle half_now;    // its half band, 90 %, of the next bend's reading
  base::Angle half_after;  // half band of the angle known worst after the trial
};

// Among set angles of 15° up to a little above the largest wanted (at most `highest`), the one
// after which the worst-known of the wanted finished angles is known best: posterior variance of
// a straight line, which does not depend on what the trial will read (Fedorov, Theory of Optimal
// Experiments, 1972, minimax design; from memory). Nothing when no angle is wanted.
std::optional<BestTrial> best_trial(const SpringbackModel& model,
                                    const std::vector<base::Angle>& wanted,
                                    base::Angle highest = base::Angle::degrees(180));

}  // namespace bight::learning

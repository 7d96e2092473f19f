// How the numbers of the metal come about: in the die, and as it springs back.
#pragma once

#include <vector>

#include "service/sum.h"

namespace bight::service {

// What the metal does in the die set of that place in the plan: metal[index] of its document.
std::vector<Sum> metal_sums(const planning::Plan& plan, std::size_t index);

// springbacks[index] of its document.
Sum law_sum(const planning::Plan& plan, std::size_t index);

}  // namespace bight::service

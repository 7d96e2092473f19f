// How the numbers of the blank, of the steps and of what a tape can check come about.
#pragma once

#include <vector>

#include "service/sum.h"

namespace bight::service {

// Cut length with its band, and the mass. Pre: the plan has steps.
std::vector<Sum> blank_sums(const planning::Plan& plan);

// steps[index] of the plan's document.
std::vector<Sum> step_sums(const planning::Plan& plan, std::size_t index);

// What a tape can check, and the seam's place.
std::vector<Sum> check_sums(const planning::Plan& plan);

// Tube that each bend uses, from end A; 0 for one that is not made.
std::vector<double> arcs_mm(const planning::Plan& plan);

}  // namespace bight::service

// How each number of a plan comes about: inputs, formula, source.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <vector>

#include "planning/plan.h"

namespace bight::service {

// docs/formats/openapi.yaml, Arithmetic: the formula with the inputs' values gives the value, which
// stands in the plan's document under the key. Empty for a plan without steps.
nlohmann::ordered_json arithmetic_json(const planning::Plan& plan);

// Tube that each bend uses, from end A; 0 for one that is not made.
std::vector<double> arcs_mm(const planning::Plan& plan);

}  // namespace bight::service

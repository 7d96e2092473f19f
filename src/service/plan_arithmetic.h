// How each number of a plan comes about: inputs, formula, source.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "planning/plan.h"

namespace bight::service {

// docs/formats/openapi.yaml, Arithmetic: the formula with the inputs' values gives the value, which
// stands in the plan's document under the key. Without steps only what a tape can check.
nlohmann::ordered_json arithmetic_json(const planning::Plan& plan);

}  // namespace bight::service

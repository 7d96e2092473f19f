// Stock lengths for a job as JSON. docs/formats/sticks.md describes it.
#pragma once

#include <nlohmann/json.hpp>

#include "planning/sticks.h"

namespace bight::exchange {

// Lengths in mm.
nlohmann::ordered_json sticks_json(const planning::SticksRequest& request,
                                   const planning::SticksPlan& plan);

}  // namespace bight::exchange

// What bight clear found, and the moving picture of it, as JSON.
#pragma once

#include <nlohmann/json.hpp>
#include <vector>

#include "planning/clearing.h"

namespace bight::exchange {

// Every step with its certified smallest distance; docs/formats/clear.md.
nlohmann::ordered_json clear_json(const planning::Plan& plan, const planning::Clearing& clearing,
                                  const std::vector<planning::StepAnswer>& answers);

// Null when nothing came within the distance looked at.
nlohmann::ordered_json nearest_json(const std::optional<clearance::Nearest>& nearest);

// Bodies, room and tube at moments of every step; docs/formats/clear.md. Failure codes: those of
// clearance::movement.
base::Result<nlohmann::ordered_json> film_json(const planning::Clearing& clearing,
                                               const std::vector<planning::StepAnswer>& answers,
                                               const clearance::FilmOptions& options = {});

}  // namespace bight::exchange

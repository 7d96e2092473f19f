// What was learned of springback and stretch as JSON. docs/formats/lessons.md describes it,
// lessons.schema.json checks it.
#pragma once

#include <nlohmann/json.hpp>
#include <vector>

#include "planning/bench_lessons.h"

namespace bight::exchange {

// Angles at which a springback line's band is listed, beside those of the bends.
std::vector<base::Angle> band_angles(const std::vector<base::Angle>& wanted);

// Lines, bands, stretch, mark offset, the next trial, for each die of a plan.
nlohmann::ordered_json lessons_json(const planning::Plan& plan,
                                    const std::vector<planning::DieLessons>& lessons);

// The next hit on one bend.
nlohmann::ordered_json hit_json(const planning::Plan& plan, std::size_t bend,
                                const learning::Hit& hit, const learning::HitForecast& forecast,
                                const learning::HitOptions& options);

}  // namespace bight::exchange

// Trial bends and what they taught, as text for a terminal.
#pragma once

#include <string>
#include <vector>

#include "base/length.h"
#include "planning/bench_lessons.h"

namespace bight::app {

std::string trials_text(const std::vector<workshop::TrialBend>& trials,
                        const base::LengthStyle& style);

// Line, band, stretch, offset of one die; wanted: finished angles to list beside the usual ones.
std::string known_text(const workshop::DieSet& die, const planning::KnownSpringback& known,
                       const std::vector<base::Angle>& wanted, const base::LengthStyle& style,
                       bool colour);

std::string next_text(const planning::DieLessons& lessons);

std::string hit_text(base::Angle wanted, const std::vector<learning::AngleTrial>& hits,
                     const learning::Hit& hit, const learning::HitForecast& forecast,
                     const learning::HitOptions& options);

}  // namespace bight::app

// Charts, capability, advice and gauge studies as JSON. docs/formats/run.md describes them. Angles
// in degrees.
#pragma once

#include <nlohmann/json.hpp>

#include "running/gauge_study.h"
#include "running/trouble.h"
#include "running/watch.h"

namespace bight::exchange {

nlohmann::ordered_json capability_json(const running::Capability& capability);
nlohmann::ordered_json watch_json(const running::StepWatch& watch);
nlohmann::ordered_json gauge_json(const running::GaugeStudy& study);
nlohmann::ordered_json trouble_json(const running::TroubleState& state);

}  // namespace bight::exchange

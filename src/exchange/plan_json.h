// Parts and plans as JSON, for scripts. docs/formats/plan.md describes them, plan.schema.json
// checks them.
#pragma once

#include <nlohmann/json.hpp>

#include "part/part.h"
#include "planning/plan.h"

namespace bight::exchange {

// Keys stay as they are once published; new ones may be added.
nlohmann::ordered_json part_json(const part::Part& part);
nlohmann::ordered_json finding_json(const part::Finding& finding);
nlohmann::ordered_json order_json(const planning::WorkOrder& order);
nlohmann::ordered_json plan_json(const planning::Plan& plan);

}  // namespace bight::exchange

// Plans with what a page shows beside them: tooling, arithmetic, remedies.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "base/result.h"
#include "part/part.h"
#include "planning/planner.h"
#include "workshop/shop.h"

namespace bight::service {

// A part and how it is to be planned.
struct PlanWish {
  part::Part part;
  planning::PlanOptions options;
  bool die_named = false;  // a die or bender was asked for by name
};

// The whole answer of POST /plan. Failure codes: those of planning::plan.
base::Result<nlohmann::ordered_json> plan_answer(const PlanWish& wish, const workshop::Shop& shop,
                                                 const nlohmann::ordered_json& document);

}  // namespace bight::service

// Plans with what a page shows beside them: tooling, arithmetic, remedies.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>

#include "base/length.h"
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

// Every die set against the tube on the plan's bender (or the first), and every bender.
nlohmann::ordered_json tooling_json(const planning::Plan& plan, const workshop::Shop& shop,
                                    const base::LengthStyle& style);
nlohmann::ordered_json benders_json(const planning::Plan& plan, const workshop::Shop& shop);

// What each number of the plan was worked out from: docs/formats/openapi.yaml, Arithmetic. The
// formula with the inputs' values gives the value.
nlohmann::ordered_json arithmetic_json(const planning::Plan& plan);

// Findings that one press can mend. `document` is the part's, and comes back with the change.
nlohmann::ordered_json remedies_json(const planning::Plan& plan, const workshop::Shop& shop,
                                     const PlanWish& wish, const nlohmann::ordered_json& document);

// The whole answer of POST /plan. Failure codes: those of planning::plan.
base::Result<nlohmann::ordered_json> plan_answer(const PlanWish& wish, const workshop::Shop& shop,
                                                 const nlohmann::ordered_json& document);

}  // namespace bight::service

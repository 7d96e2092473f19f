// What one press can mend of a plan.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "service/plan_answer.h"

namespace bight::service {

// Findings that one press can mend. `document` is the part's, and comes back with the change.
nlohmann::ordered_json remedies_json(const planning::Plan& plan, const workshop::Shop& shop,
                                     const PlanWish& wish, const nlohmann::ordered_json& document);

}  // namespace bight::service

// Every die set and bender of the shop against the tube of a plan.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "base/length.h"
#include "planning/plan.h"
#include "workshop/shop.h"

namespace bight::service {

// Every die set against the tube on the plan's bender (or the first), and every bender.
nlohmann::ordered_json tooling_json(const planning::Plan& plan, const workshop::Shop& shop,
                                    const base::LengthStyle& style);
nlohmann::ordered_json benders_json(const planning::Plan& plan, const workshop::Shop& shop);

// Why a bender cannot take the tube; empty when it can.
std::string too_weak(const workshop::Bender& bender, const stock::Section& section);

}  // namespace bight::service

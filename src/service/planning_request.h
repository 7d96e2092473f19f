// A request that names a part and how it is to be planned: read the same way by all who plan.
#pragma once

#include <memory>
#include <nlohmann/json.hpp>
#include <variant>

#include "service/context.h"
#include "service/plan_answer.h"
#include "service/request.h"

namespace bight::service {

struct PlanningRequest {
  nlohmann::ordered_json document;  // of the part, as it was sent or kept
  PlanWish wish;
  base::LengthUnit own_unit = base::LengthUnit::kMillimetre;  // of the document
  std::shared_ptr<const ShopView> shop;
};

// The part of "part" or "part_id", read; all complaints where it cannot be.
struct PartRequest {
  nlohmann::ordered_json document;
  exchange::PartFile file;
};
std::variant<PartRequest, Reply> read_part_request(Context& context, exchange::Fields& fields,
                                                   const exchange::Document& body);

// Reads part or part_id, die, bender, from, order, mirror and units, and ends with no_others().
std::variant<PlanningRequest, Reply> read_planning_request(Context& context,
                                                           const Request& request);

}  // namespace bight::service

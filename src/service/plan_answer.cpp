#include "service/plan_answer.h"

#include <nlohmann/json.hpp>

#include "exchange/plan_json.h"
#include "service/line_answer.h"
#include "service/plan_arithmetic.h"
#include "service/plan_remedies.h"
#include "service/plan_tooling.h"

namespace bight::service {

using base::Result;
using planning::Plan;
using Json = nlohmann::ordered_json;

Result<Json> plan_answer(const PlanWish& wish, const workshop::Shop& shop, const Json& document) {
  BIGHT_TRY(const Plan plan, planning::plan(wish.part, shop, wish.options));
  const geometry::Frame& start = wish.part.start;
  return Json{{"plan", exchange::plan_json(plan)},
              {"table", line_json(wish.part.table, start)},
              {"bent", line_json(plan.bent_table, start)},
              {"tooling", tooling_json(plan, shop, wish.options.style)},
              {"benders", benders_json(plan, shop)},
              {"arithmetic", arithmetic_json(plan)},
              {"remedies", remedies_json(plan, shop, wish, document)}};
}

}  // namespace bight::service

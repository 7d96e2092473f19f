// In what order and from which end a part may be bent, each order with its reasons.
#include <chrono>
#include <nlohmann/json.hpp>

#include "exchange/plan_json.h"
#include "planning/order_reasons.h"
#include "service/handlers.h"
#include "service/planning_request.h"

namespace bight::service {

using base::Result;
using Json = nlohmann::ordered_json;

namespace {

// A search that takes longer becomes a job to look at.
constexpr std::chrono::milliseconds kOrderPatience{1500};

// Findings that another order may change.
bool of_the_order(const part::Finding& finding) {
  return finding.code.starts_with("order.") || finding.code.starts_with("clearance.") ||
         finding.code == "plan.straight-below-clamp" || finding.code == "plan.straight-below-tail";
}

Result<Reply> order(PlanningRequest& p, JobWatch& watch) {
  p.wish.options.effort.cancelled = [&watch] { return watch.cancelled(); };
  p.wish.options.effort.progress = [&watch](double share) {
    watch.tell("comparing orders of bends", share);
  };
  p.wish.options.alternatives = true;
  p.wish.options.changes = true;
  BIGHT_TRY(const planning::Plan plan, planning::plan(p.wish.part, p.shop->shop, p.wish.options));
  Json ranked = Json::array();
  for (const planning::RankedOrder& one :
       planning::ranked(plan, p.wish.options.from, p.wish.options.style)) {
    Json json = exchange::order_json(one.order);
    json["taken"] = one.taken;
    json["drawn"] = one.drawn;
    json["reasons"] = one.reasons;
    ranked.push_back(std::move(json));
  }
  Json findings = Json::array();
  for (const part::Finding& finding : plan.findings) {
    if (of_the_order(finding)) findings.push_back(exchange::finding_json(finding));
  }
  return json_reply({{"bender", plan.bender ? Json(plan.bender->name) : Json(nullptr)},
                     {"orders", std::move(ranked)},
                     {"findings", std::move(findings)}});
}

}  // namespace

void add_order(Router& router, Context& context) {
  Route route{"POST", "/order", [&context](const Request& request) {
                std::variant<PlanningRequest, Reply> read = read_planning_request(context, request);
                if (std::holds_alternative<Reply>(read)) return std::get<Reply>(std::move(read));
                if (const auto done = only_asked(request, {}); !done.ok()) {
                  return failed(done.failure());
                }
                return context.jobs.run(
                    [p = std::get<PlanningRequest>(std::move(read))](JobWatch& watch) mutable {
                      Result<Reply> reply = order(p, watch);
                      return reply.ok() ? std::move(reply).value() : failed(reply.failure());
                    },
                    kOrderPatience);
              }};
  route.heavy = true;
  router.add(std::move(route));
}

}  // namespace bight::service

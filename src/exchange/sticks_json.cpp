#include "exchange/sticks_json.h"

#include "exchange/plan_json.h"

namespace bight::exchange {

using nlohmann::ordered_json;

ordered_json sticks_json(const planning::SticksRequest& request, const planning::SticksPlan& plan) {
  ordered_json rack = ordered_json::array();
  for (const planning::StickUse& use : plan.from_rack) {
    const planning::RackSticks& here = request.rack[use.rack];
    rack.push_back({{"place", here.place},
                    {"heat", here.heat},
                    {"length_mm", here.length_mm},
                    {"sticks", here.sticks},
                    {"per_stick", use.per_stick},
                    {"rest_mm", use.rest_mm},
                    {"taken", use.taken},
                    {"pieces", use.pieces}});
  }
  ordered_json findings = ordered_json::array();
  for (const part::Finding& finding : plan.findings) findings.push_back(finding_json(finding));
  return {{"cut_mm", request.cut_mm},
          {"pieces", request.pieces},
          {"spare", request.spare},
          {"kerf_mm", request.kerf_mm},
          {"stick_mm", request.stick_mm},
          {"per_stick", plan.per_stick},
          {"rest_mm", plan.rest_mm},
          {"to_buy", plan.to_buy},
          {"to_buy_mm", plan.to_buy * request.stick_mm},
          {"missing", plan.missing},
          {"last_rest_mm", plan.last_rest_mm},
          {"over_mm", plan.over_mm ? ordered_json(*plan.over_mm) : ordered_json(nullptr)},
          {"rack", std::move(rack)},
          {"findings", std::move(findings)}};
}

}  // namespace bight::exchange

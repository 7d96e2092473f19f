// A finished piece that was measured: what is keyed in for the next one, and whether it is good.
#include <nlohmann/json.hpp>

#include "exchange/bench_json.h"
#include "exchange/measured_piece.h"
#include "geometry/centreline.h"
#include "inspection/agreed.h"
#include "service/handlers.h"
#include "service/planning_request.h"

namespace bight::service {

using base::Failure;
using base::Result;
using Json = nlohmann::ordered_json;

namespace {

using Answer = Result<Json> (*)(const planning::Plan&, const exchange::MeasuredPiece&);

Result<Json> corrected(const planning::Plan& plan, const exchange::MeasuredPiece& piece) {
  BIGHT_TRY(const planning::BenchCorrection correction,
            planning::correct_piece(plan, piece.measured));
  return exchange::correction_json(plan, correction, piece.measured);
}

Result<Json> inspected(const planning::Plan& plan, const exchange::MeasuredPiece& piece) {
  const std::size_t num_points = geometry::corner_points_mm(plan.bent_table).size();
  BIGHT_TRY(const inspection::Agreement agreement,
            inspection::agreement_of(plan.part, num_points, {piece.agreed}));
  BIGHT_TRY(const inspection::Inspection inspection,
            inspection::inspect(plan.part, plan.bent_table, piece.measured, agreement));
  return exchange::inspection_json(plan.part, inspection, agreement, piece.measured);
}

// The keys of a plan beside `measured`, the document of a measured piece.
Result<Reply> answered(Context& context, const Request& request, Answer answer) {
  BIGHT_TRY(exchange::Document body, read_body(request));
  const auto found = body.value.find("measured");
  if (found == body.value.end() || !found->is_object()) {
    return Failure{"key.missing", "measured", "nothing was measured",
                   "give the document of a measured piece"};
  }
  BIGHT_TRY(const exchange::MeasuredPiece piece,
            exchange::read_measured_piece(exchange::document_of(*found, "measured")));
  body.value.erase("measured");
  Request rest = request;
  rest.body = body.value.dump();
  std::variant<PlanningRequest, Reply> read = read_planning_request(context, rest);
  if (std::holds_alternative<Reply>(read)) return std::get<Reply>(std::move(read));
  const PlanningRequest& wish = std::get<PlanningRequest>(read);
  BIGHT_TRY(const planning::Plan plan,
            planning::plan(wish.wish.part, wish.shop->shop, wish.wish.options));
  BIGHT_TRY(const Json json, answer(plan, piece));
  return json_reply(json);
}

Handler measured_handler(Context& context, Answer answer) {
  return [&context, answer](const Request& request) {
    Result<Reply> reply = answered(context, request, answer);
    return reply.ok() ? std::move(reply).value() : failed(reply.failure());
  };
}

void add_heavy(Router& router, const char* pattern, Handler handler) {
  Route route{"POST", pattern, std::move(handler)};
  route.heavy = true;
  router.add(std::move(route));
}

}  // namespace

void add_measured(Router& router, Context& context) {
  add_heavy(router, "/correct", measured_handler(context, corrected));
  add_heavy(router, "/inspect", measured_handler(context, inspected));
}

}  // namespace bight::service

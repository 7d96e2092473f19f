// How near the tube comes to machine, room and itself, and the moving picture of it.
#include <nlohmann/json.hpp>

#include "exchange/clear_json.h"
#include "exchange/film_gltf.h"
#include "service/handlers.h"
#include "service/planning_request.h"

namespace bight::service {

using base::Result;
using Json = nlohmann::ordered_json;

namespace {

struct Compared {
  planning::Plan plan;
  planning::Clearing clearing;
  std::vector<planning::StepAnswer> answers;
};

Result<Compared> compared(const PlanningRequest& p) {
  BIGHT_TRY(planning::Plan plan, planning::plan(p.wish.part, p.shop->shop, p.wish.options));
  BIGHT_TRY(planning::Clearing clearing, planning::clearing(plan));
  BIGHT_TRY(std::vector<planning::StepAnswer> answers, planning::clear_steps(clearing));
  return Compared{std::move(plan), std::move(clearing), std::move(answers)};
}

Result<Reply> clear(const Request& request, const PlanningRequest& p) {
  BIGHT_TRY(const base::Done done, only_asked(request, {}));
  static_cast<void>(done);
  BIGHT_TRY(const Compared found, compared(p));
  return json_reply(exchange::clear_json(found.plan, found.clearing, found.answers));
}

Result<Reply> film(const Request& request, const PlanningRequest& p) {
  BIGHT_TRY(const base::Done done, only_asked(request, {"format"}));
  static_cast<void>(done);
  BIGHT_TRY(const std::string format, asked_word(request, "format", {"json", "glb", "gltf"}));
  BIGHT_TRY(const Compared found, compared(p));
  if (format == "json") {
    BIGHT_TRY(const Json json, exchange::film_json(found.clearing, found.answers));
    return json_reply(json);
  }
  BIGHT_TRY(std::string bytes, exchange::film_gltf(found.clearing, format == "glb"));
  Reply reply =
      bytes_reply(std::move(bytes), format == "glb" ? "model/gltf-binary" : "model/gltf+json");
  reply.headers.emplace_back("Content-Disposition", "attachment; filename=\"film." + format + "\"");
  return reply;
}

using Answer = Result<Reply> (*)(const Request&, const PlanningRequest&);

void add(Router& router, Context& context, const char* pattern, Answer answer) {
  Route route{"POST", pattern, [&context, answer](const Request& request) {
                std::variant<PlanningRequest, Reply> read = read_planning_request(context, request);
                if (std::holds_alternative<Reply>(read)) return std::get<Reply>(std::move(read));
                Result<Reply> reply = answer(request, std::get<PlanningRequest>(read));
                return reply.ok() ? std::move(reply).value() : failed(reply.failure());
              }};
  route.heavy = true;
  router.add(std::move(route));
}

}  // namespace

void add_clearance(Router& router, Context& context) {
  add(router, context, "/clear", clear);
  add(router, context, "/film", film);
}

}  // namespace bight::service

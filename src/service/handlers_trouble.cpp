// The trouble guide, question by question.
#include <nlohmann/json.hpp>

#include "exchange/watch_json.h"
#include "service/handlers.h"
#include "service/planning_request.h"

namespace bight::service {

using base::Failure;
using base::Result;
using Json = nlohmann::ordered_json;

namespace {

constexpr std::size_t kMostAnswers = 200;

struct TroubleWish {
  std::string symptom;
  std::vector<running::TroubleAnswer> answers;
  running::TroubleFacts facts;  // as sent
};

Result<TroubleWish> read_trouble_wish(const exchange::Document& document) {
  exchange::Fields f(document);
  TroubleWish wish;
  wish.symptom = f.text("symptom").value_or("");
  if (f.count("answers") > kMostAnswers) {
    f.complain("answers", "key.value", "more answers than the guide has questions", "");
  } else {
    for (exchange::Fields& row : f.tables("answers")) {
      running::TroubleAnswer answer{row.need_text("question"), row.need_text("answer")};
      row.no_others();
      f.adopt(row);
      wish.answers.push_back(std::move(answer));
    }
  }
  wish.facts.mandrel = f.flag("mandrel");
  wish.facts.wiper = f.flag("wiper");
  wish.facts.wall_factor_ratio = f.number("wall_factor");
  if (wish.facts.wall_factor_ratio && !(*wish.facts.wall_factor_ratio > 0.0)) {
    f.complain("wall_factor", "key.value", "this is out of range", "OD over wall, above 0");
  }
  BIGHT_TRY(const base::Done read, f.status());
  static_cast<void>(read);
  return wish;
}

// What was not sent is taken from the plan.
void fill(running::TroubleFacts& facts, const planning::Plan& plan) {
  if (!plan.dies.empty()) {
    if (!facts.mandrel) facts.mandrel = plan.dies.front().die.mandrel;
    if (!facts.wiper) facts.wiper = plan.dies.front().die.wiper;
  }
  if (!plan.metal.empty() && !facts.wall_factor_ratio) {
    facts.wall_factor_ratio = plan.metal.front().wall_factor_ratio;
  }
}

Result<Reply> trouble(Context& context, const Request& request) {
  BIGHT_TRY(const Beside beside,
            keys_beside(request, {"symptom", "answers", "mandrel", "wiper", "wall_factor"}));
  BIGHT_TRY(TroubleWish wish, read_trouble_wish(beside.keys));
  BIGHT_TRY(const exchange::Document rest, read_body(beside.rest));
  if (!rest.value.empty()) {
    std::variant<PlanningRequest, Reply> read = read_planning_request(context, beside.rest);
    if (std::holds_alternative<Reply>(read)) return std::get<Reply>(std::move(read));
    const PlanningRequest& p = std::get<PlanningRequest>(read);
    BIGHT_TRY(const planning::Plan plan, planning::plan(p.wish.part, p.shop->shop, p.wish.options));
    fill(wish.facts, plan);
  }
  BIGHT_TRY(const running::TroubleGuide guide, running::TroubleGuide::built_in());
  Json json = {{"symptoms", Json::array()}, {"guide", nullptr}};
  for (const running::TroubleSymptom& symptom : guide.symptoms()) {
    json["symptoms"].push_back({{"symptom", symptom.id}, {"words", symptom.words}});
  }
  if (!wish.symptom.empty()) {
    BIGHT_TRY(const running::TroubleState state,
              guide.state(wish.symptom, wish.facts, wish.answers));
    json["guide"] = exchange::trouble_json(state);
  } else if (!wish.answers.empty()) {
    return Failure{"trouble.symptom", "symptom", "answers to what?", "say which symptom is seen"};
  }
  return json_reply(json);
}

}  // namespace

void add_trouble(Router& router, Context& context) {
  Route route{"POST", "/trouble", with(context, trouble)};
  route.heavy = true;
  router.add(std::move(route));
}

}  // namespace bight::service

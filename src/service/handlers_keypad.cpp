// What is typed into a bender's keypad, the card to tick off, and the set-up checklist.
#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "exchange/keypad_document.h"
#include "papers/keypad_card.h"
#include "service/handlers.h"
#include "service/planning_request.h"

namespace bight::service {

using base::Failure;
using base::Result;
using Json = nlohmann::ordered_json;

namespace {

struct Asked {
  PlanningRequest planning;
  planning::Plan plan;
};

std::variant<Asked, Reply> plan_asked(Context& context, const Request& request) {
  std::variant<PlanningRequest, Reply> read = read_planning_request(context, request);
  if (std::holds_alternative<Reply>(read)) return std::get<Reply>(std::move(read));
  PlanningRequest& p = std::get<PlanningRequest>(read);
  Result<planning::Plan> plan = planning::plan(p.wish.part, p.shop->shop, p.wish.options);
  if (!plan.ok()) return failed(plan.failure());
  return Asked{std::move(p), std::move(plan).value()};
}

Result<Reply> card(const Request& request, const Asked& asked, const planning::KeypadTable& table,
                   const planning::Checklist& list) {
  BIGHT_TRY(const std::string paper, asked_word(request, "paper", {"a4", "letter"}));
  papers::SheetOptions options;
  options.paper = paper == "letter" ? papers::Paper::kLetter : papers::Paper::kA4;
  options.length = asked.planning.wish.options.style;
  const std::string today = time_text(records::SystemClock().now()).substr(0, 10);
  options.date = request.asked("date").value_or(today).substr(0, 40);
  BIGHT_TRY(std::vector<std::string> files,
            papers::keypad_card_files(asked.plan, table, list, options, papers::Format::kPdf));
  Reply reply = bytes_reply(std::move(files.front()), "application/pdf");
  reply.headers.emplace_back("Content-Disposition", "inline; filename=\"keypad.pdf\"");
  return reply;
}

// The keys of a plan beside `keypads`, entries as in keypads.toml.
Result<Reply> keypad(Context& context, const Request& request) {
  BIGHT_TRY(const base::Done query, only_asked(request, {"format", "paper", "date"}));
  static_cast<void>(query);
  BIGHT_TRY(const std::string format, asked_word(request, "format", {"json", "pdf"}));
  BIGHT_TRY(const Beside beside, keys_beside(request, {"keypads"}));
  std::vector<planning::KeypadProfile> profiles;
  const auto sent = beside.keys.value.find("keypads");
  if (sent != beside.keys.value.end()) {
    BIGHT_TRY(profiles, exchange::read_keypads(
                            exchange::document_of({{"schema", 1}, {"keypad", *sent}}, "keypads")));
  }
  std::variant<Asked, Reply> read = plan_asked(context, beside.rest);
  if (std::holds_alternative<Reply>(read)) return std::get<Reply>(std::move(read));
  const Asked& asked = std::get<Asked>(read);
  const planning::KeypadProfile profile = asked.plan.bender
                                              ? exchange::keypad_for(profiles, *asked.plan.bender)
                                              : planning::KeypadProfile();
  BIGHT_TRY(const planning::KeypadTable table, planning::keypad_table(asked.plan, profile));
  const planning::Checklist list =
      planning::checklist_of(asked.plan, asked.planning.wish.options.style);
  if (format == "pdf") return card(request, asked, table, list);
  Json json = exchange::keypad_json(table);
  json["checklist"] = exchange::checklist_json(list);
  return json_reply(json);
}

Result<Reply> checklist(Context& context, const Request& request) {
  BIGHT_TRY(const base::Done query, only_asked(request, {}));
  static_cast<void>(query);
  std::variant<Asked, Reply> read = plan_asked(context, request);
  if (std::holds_alternative<Reply>(read)) return std::get<Reply>(std::move(read));
  const Asked& asked = std::get<Asked>(read);
  return json_reply(exchange::checklist_json(
      planning::checklist_of(asked.plan, asked.planning.wish.options.style)));
}

}  // namespace

void add_keypad(Router& router, Context& context) {
  add_heavy(router, "/keypad", with(context, keypad));
  add_heavy(router, "/checklist", with(context, checklist));
}

}  // namespace bight::service

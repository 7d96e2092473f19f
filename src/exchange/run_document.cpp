#include "exchange/run_document.h"

#include <fmt/format.h>

#include <array>
#include <string_view>
#include <utility>

#include "exchange/exact_text.h"
#include "exchange/exact_value.h"
#include "exchange/fields.h"

namespace bight::exchange {

using base::Angle;
using base::Result;
using nlohmann::ordered_json;
using running::Deed;
using running::Event;
using running::Run;
using running::RunState;
using running::Verdict;

namespace {

// In the order of running::Deed's alternatives.
const std::vector<std::string_view> kDeeds = {"begin",  "hit",       "done",  "measure",
                                              "finish", "set",       "check", "trouble",
                                              "note",   "take-back", "end"};
const std::vector<std::string_view> kVerdicts = {"good", "rework", "scrap"};
const std::vector<std::string_view> kWalks = {"piece", "bend"};

ordered_json degrees(Angle angle) { return number_value(exact_deg(angle)); }

// A whole number above zero; the failure names the key.
int need_number(Fields& f, std::string_view key, int least = 1) {
  const std::optional<long> value = f.whole(key);
  if (!value) {
    if (!f.has(key)) f.complain(key, "key.missing", "the number is missing", "give it");
    return least;
  }
  if (*value < least || *value > running::kMostRunPieces) {
    f.complain(key, "key.value", fmt::format("{} cannot be", *value),
               fmt::format("a whole number from {} to {}", least, running::kMostRunPieces));
    return least;
  }
  return static_cast<int>(*value);
}

int number_or_zero(Fields& f, std::string_view key) {
  return f.has(key) ? need_number(f, key, 0) : 0;
}

Deed read_deed(Fields& f, std::size_t deed) {
  const auto text = [&](std::string_view key) { return f.text(key).value_or(""); };
  const auto piece = [&] { return need_number(f, "piece"); };
  const auto step = [&] { return need_number(f, "step"); };
  switch (deed) {
    case 0:
      return running::PieceBegun{piece(), text("heat")};
    case 1:
      return running::Hit{piece(), step(), f.need_angle("set"), f.angle("read")};
    case 2:
      return running::BendDone{piece(), step()};
    case 3:
      return running::AngleMeasured{piece(), step(), f.need_angle("angle")};
    case 4: {
      const int number = piece();
      if (!f.has("verdict")) {
        f.complain("verdict", "key.missing", "the verdict is missing", "good, rework or scrap");
      }
      const auto verdict = static_cast<Verdict>(f.choice("verdict", kVerdicts).value_or(0));
      return running::PieceFinished{number, verdict, text("reason")};
    }
    case 5:
      return running::SetChanged{step(), need_number(f, "from_piece"), f.need_angle("set")};
    case 6:
      return running::ItemChecked{f.need_text("item"), f.flag("done").value_or(true)};
    case 7: {
      std::string symptom = f.need_text("symptom");
      std::string question = f.need_text("question");
      return running::TroubleAnswered{std::move(symptom), std::move(question),
                                      f.need_text("answer")};
    }
    case 8: {
      const int about_piece = number_or_zero(f, "piece");
      const int about_step = number_or_zero(f, "step");
      return running::Noted{about_piece, about_step, f.need_text("text")};
    }
    case 9:
      return running::TakenBack{f.need_text("of")};
    default:
      return running::RunEnded{};
  }
}

Event read_event(Fields& f) {
  Event event;
  event.key = f.need_text("key");
  const std::string at = f.need_text("at");
  if (const Result<running::Moment> moment = running::parse_moment(at); moment.ok()) {
    event.at = *moment;
  } else {
    f.complain("at", moment.failure().code, moment.failure().message, moment.failure().remedy);
  }
  event.by = f.text("by").value_or("");
  if (!f.has("do")) f.complain("do", "key.missing", "what was done is missing", "as do = \"hit\"");
  event.deed = read_deed(f, f.choice("do", kDeeds).value_or(kDeeds.size() - 1));
  f.no_others();
  return event;
}

Result<std::vector<Event>> read_event_list(Fields& top) {
  std::vector<Event> events;
  if (const std::size_t count = top.count("events"); count > running::kMostEvents) {
    return base::Failure{"run.full", top.where("events"),
                         fmt::format("{} events are more than a run holds", count),
                         fmt::format("at most {}", running::kMostEvents)};
  }
  for (Fields& f : top.tables("events")) {
    events.push_back(read_event(f));
    top.adopt(f);
  }
  return events;
}

running::RunStep read_step(Fields& f) {
  running::RunStep step;
  step.bend = need_number(f, "bend");
  step.die = f.text("die").value_or("");
  step.wanted = f.need_angle("angle");
  step.set = f.angle("set").value_or(step.wanted);
  step.tolerance = f.angle("tolerance");
  f.no_others();
  return step;
}

void put_text(ordered_json& json, const char* key, const std::string& text) {
  if (!text.empty()) json[key] = text;
}

// Adds each deed's keys.
struct DeedKeys {
  ordered_json& json;

  void place(int piece, int step) {
    if (piece != 0) json["piece"] = piece;
    if (step != 0) json["step"] = step;
  }
  void operator()(const running::PieceBegun& deed) {
    place(deed.piece, 0);
    put_text(json, "heat", deed.heat);
  }
  void operator()(const running::Hit& deed) {
    place(deed.piece, deed.step);
    json["set"] = degrees(deed.set);
    if (deed.read) json["read"] = degrees(*deed.read);
  }
  void operator()(const running::BendDone& deed) { place(deed.piece, deed.step); }
  void operator()(const running::AngleMeasured& deed) {
    place(deed.piece, deed.step);
    json["angle"] = degrees(deed.angle);
  }
  void operator()(const running::PieceFinished& deed) {
    place(deed.piece, 0);
    json["verdict"] = kVerdicts[static_cast<std::size_t>(deed.verdict)];
    put_text(json, "reason", deed.reason);
  }
  void operator()(const running::SetChanged& deed) {
    json["step"] = deed.step;
    json["from_piece"] = deed.from_piece;
    json["set"] = degrees(deed.set);
  }
  void operator()(const running::ItemChecked& deed) {
    json["item"] = deed.item;
    if (!deed.done) json["done"] = false;
  }
  void operator()(const running::TroubleAnswered& deed) {
    json["symptom"] = deed.symptom;
    json["question"] = deed.question;
    json["answer"] = deed.answer;
  }
  void operator()(const running::Noted& deed) {
    place(deed.piece, deed.step);
    json["text"] = deed.text;
  }
  void operator()(const running::TakenBack& deed) { json["of"] = deed.of; }
  void operator()(const running::RunEnded&) {}
};

ordered_json moment_json(const std::optional<running::Moment>& moment) {
  return moment ? ordered_json(running::print_moment(*moment)) : ordered_json(nullptr);
}

ordered_json bend_json(int step, const running::BendState& bend) {
  ordered_json json = {{"step", step}, {"hits", bend.hits.size()}, {"done", bend.done}};
  if (!bend.hits.empty()) json["set"] = degrees(bend.hits.back().set);
  if (const auto finished = bend.finished()) json["finished"] = degrees(*finished);
  return json;
}

ordered_json piece_json(int number, const running::PieceState& piece) {
  ordered_json json = {{"piece", number}, {"heat", piece.heat}};
  json["verdict"] = piece.verdict
                        ? ordered_json(kVerdicts[static_cast<std::size_t>(*piece.verdict)])
                        : ordered_json(nullptr);
  put_text(json, "reason", piece.reason);
  json["first_at"] = moment_json(piece.first_at);
  json["last_at"] = moment_json(piece.last_at);
  json["bends"] = ordered_json::array();
  for (const auto& [step, bend] : piece.bends) json["bends"].push_back(bend_json(step, bend));
  return json;
}

ordered_json next_json(const std::optional<running::NextBend>& next) {
  if (!next) return nullptr;
  return {{"piece", next->piece},
          {"step", next->step},
          {"bend", next->bend},
          {"die", next->die},
          {"angle", degrees(next->wanted)},
          {"set", degrees(next->set)},
          {"hits", next->hits}};
}

}  // namespace

Result<Run> read_run(const Document& document) {
  Fields top(document);
  BIGHT_TRY(const base::Done rules, read_rules(top, "run.schema"));
  static_cast<void>(rules);
  Run run;
  run.name = top.text("name").value_or("");
  run.part = top.text("part").value_or("");
  run.part_record = top.text("part_id").value_or("");
  run.bender = top.text("bender").value_or("");
  run.material = top.text("material").value_or("");
  run.heat = top.text("heat").value_or("");
  run.pieces_wanted = need_number(top, "pieces");
  run.walk = static_cast<running::Walk>(top.choice("walk", kWalks).value_or(0));
  for (Fields& f : top.tables("steps")) {
    run.steps.push_back(read_step(f));
    top.adopt(f);
  }
  BIGHT_TRY(const std::vector<Event> events, read_event_list(top));
  top.no_others();
  BIGHT_TRY(const base::Done read, top.status());
  static_cast<void>(read);
  const auto placed = [&](base::Failure failure) {
    failure.where = document.name + (failure.where.empty() ? "" : ": " + failure.where);
    return failure;
  };
  const base::Status possible = running::check_run(run);
  if (!possible.ok()) return placed(possible.failure());
  const Result<running::Merge> taken = running::take_events(run, events);
  if (!taken.ok()) return placed(taken.failure());
  return run;
}

ordered_json event_json(const Event& event) {
  ordered_json json = {{"key", event.key}, {"at", running::print_moment(event.at)}};
  put_text(json, "by", event.by);
  json["do"] = kDeeds[event.deed.index()];
  std::visit(DeedKeys{json}, event.deed);
  return json;
}

ordered_json run_document(const Run& run) {
  ordered_json json = {{"schema", 1}};
  put_text(json, "name", run.name);
  put_text(json, "part", run.part);
  put_text(json, "part_id", run.part_record);
  put_text(json, "bender", run.bender);
  put_text(json, "material", run.material);
  put_text(json, "heat", run.heat);
  json["pieces"] = run.pieces_wanted;
  if (run.walk != running::Walk::kPiece) json["walk"] = "bend";
  json["steps"] = ordered_json::array();
  for (const running::RunStep& step : run.steps) {
    ordered_json row = {{"bend", step.bend}};
    put_text(row, "die", step.die);
    row["angle"] = degrees(step.wanted);
    row["set"] = degrees(step.set);
    if (step.tolerance) row["tolerance"] = degrees(*step.tolerance);
    json["steps"].push_back(std::move(row));
  }
  json["events"] = ordered_json::array();
  for (const Event& event : run.events) json["events"].push_back(event_json(event));
  return json;
}

Result<std::vector<Event>> read_events(const Document& document) {
  ordered_json wrapped = document.value;
  if (wrapped.is_array()) {
    wrapped = ordered_json{{"events", std::move(wrapped)}};
  } else if (wrapped.is_object() && !wrapped.contains("events")) {
    wrapped = ordered_json{{"events", ordered_json::array({std::move(wrapped)})}};
  }
  const Document list{std::move(wrapped), {}, document.name};
  Fields top(list);
  BIGHT_TRY(std::vector<Event> events, read_event_list(top));
  top.no_others();
  BIGHT_TRY(const base::Done read, top.status());
  static_cast<void>(read);
  return events;
}

ordered_json run_state_json(const Run& run, const RunState& state) {
  ordered_json json = {{"name", run.name},
                       {"part", run.part},
                       {"pieces", run.pieces_wanted},
                       {"good", state.good},
                       {"rework", state.rework},
                       {"scrap", state.scrap},
                       {"ended", state.ended},
                       {"next", next_json(state.next)}};
  json["to_finish"] = state.to_finish ? ordered_json(*state.to_finish) : ordered_json(nullptr);
  json["first_at"] = moment_json(state.first_at);
  json["last_at"] = moment_json(state.last_at);
  json["checked"] = state.checked;
  json["events"] = run.events.size();
  json["taken_back"] = state.taken_back;
  json["by_piece"] = ordered_json::array();
  for (const auto& [number, piece] : state.pieces) {
    json["by_piece"].push_back(piece_json(number, piece));
  }
  json["troubles"] = ordered_json::array();
  for (const Event* event : state.troubles) json["troubles"].push_back(event_json(*event));
  json["notes"] = ordered_json::array();
  for (const Event* event : state.notes) json["notes"].push_back(event_json(*event));
  return json;
}

ordered_json merge_json(const running::Merge& merge) {
  ordered_json json = {{"added", merge.added}, {"known", merge.known}};
  json["clashes"] = ordered_json::array();
  for (const running::Clash& clash : merge.clashes) {
    json["clashes"].push_back({{"kept", event_json(clash.kept)}, {"left", event_json(clash.left)}});
  }
  return json;
}

}  // namespace bight::exchange

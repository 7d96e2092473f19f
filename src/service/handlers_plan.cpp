// Plans, sheets, files of another kind, and what is known of springback.
#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "learning/best_trial.h"
#include "learning/first_hit.h"
#include "papers/sheet.h"
#include "planning/known_springback.h"
#include "service/convert.h"
#include "service/handlers.h"
#include "service/planning_request.h"

namespace bight::service {

using base::Angle;
using base::Failure;
using base::Result;
using Json = nlohmann::ordered_json;

std::variant<PartRequest, Reply> read_part_request(Context& context, exchange::Fields& fields,
                                                   const exchange::Document& body) {
  Result<Json> document = part_document_of(fields, body, context.store);
  if (!document.ok()) return failed(document.failure());
  const Result<std::shared_ptr<const ShopView>> view = context.shop.view();
  if (!view.ok()) return failed(view.failure());
  const exchange::KnownMetals& metals = (*view)->metals;
  Result<exchange::PartFile> file =
      exchange::read_part(exchange::document_of(*document, "", metals));
  if (!file.ok()) return failed(complaints_of(records::Kind::kPart, *document, metals));
  return PartRequest{std::move(document).value(), std::move(file).value()};
}

namespace {

// Words or the short form as text, or a list of bends each with its end.
planning::OrderWish read_order(exchange::Fields& f) {
  if (!f.has("order")) return {};
  planning::OrderWish wish;
  if (f.count("order") == 0) {
    const std::optional<std::string> typed = f.text("order");
    if (!typed) return {};
    Result<planning::OrderWish> read = planning::parse_order_wish(*typed);
    if (read.ok()) return std::move(read).value();
    f.complain("order", read.failure().code, read.failure().message, read.failure().remedy);
    return {};
  }
  wish.kind = planning::OrderWish::Kind::kGiven;
  for (exchange::Fields& one : f.tables("order")) {
    const std::optional<long> number = one.whole("bend");
    const std::optional<std::size_t> front = one.choice("front", {"A", "B"});
    one.no_others();
    if (!number && one.status().ok()) {
      one.complain("bend", "key.missing", "a bend's number is missing",
                   "counted from end A, from 1");
    } else if (number && (*number < 1 || *number > 1000)) {
      one.complain("bend", "key.value", "no bend has that number", "counted from end A, from 1");
    }
    f.adopt(one);
    if (!number) continue;
    std::optional<planning::End> end;
    if (front) end = *front == 0 ? planning::End::kA : planning::End::kB;
    wish.bends.push_back({static_cast<std::size_t>(*number) - 1, end});
  }
  return wish;
}

}  // namespace

std::variant<PlanningRequest, Reply> read_planning_request(Context& context,
                                                           const Request& request) {
  const Result<exchange::Document> body = read_body(request);
  if (!body.ok()) return failed(body.failure());
  exchange::Fields f(*body);
  planning::PlanOptions options;
  options.wish.bender = f.text("bender").value_or("");
  options.wish.die = f.text("die").value_or("");
  if (f.choice("from", {"A", "B"}).value_or(0) == 1) options.from = planning::End::kB;
  options.order = read_order(f);
  const bool mirror = f.flag("mirror").value_or(false);
  const std::string units = f.text("units").value_or("");
  std::variant<PartRequest, Reply> read = read_part_request(context, f, *body);
  if (std::holds_alternative<Reply>(read)) return std::get<Reply>(std::move(read));
  PartRequest& part = std::get<PartRequest>(read);
  f.no_others();
  if (const base::Status status = f.status(); !status.ok()) return failed(status.failure());
  const Result<base::LengthStyle> style = style_of(units, part.file.unit);
  if (!style.ok()) return failed(style.failure());
  options.style = *style;
  Result<std::shared_ptr<const ShopView>> shop = context.shop.view();
  if (!shop.ok()) return failed(shop.failure());
  const bool named = !options.wish.bender.empty() || !options.wish.die.empty();
  return PlanningRequest{
      std::move(part.document),
      {mirror ? part::mirrored(part.file.part) : std::move(part.file.part), options, named},
      part.file.unit,
      std::move(shop).value()};
}

namespace {

// Runs `answer` on a planning request that can be read.
template <typename Answer>
Handler planning_handler(Context& context, Answer answer) {
  return [&context, answer](const Request& request) {
    std::variant<PlanningRequest, Reply> read = read_planning_request(context, request);
    if (std::holds_alternative<Reply>(read)) return std::get<Reply>(std::move(read));
    Result<Reply> reply = answer(request, std::get<PlanningRequest>(read));
    return reply.ok() ? std::move(reply).value() : failed(reply.failure());
  };
}

Result<Reply> plan(const Request&, const PlanningRequest& p) {
  BIGHT_TRY(const Json answer, plan_answer(p.wish, p.shop->shop, p.document));
  return json_reply(answer);
}

std::string today() { return time_text(records::SystemClock().now()).substr(0, 10); }

Result<Reply> sheet(const Request& request, const PlanningRequest& p) {
  BIGHT_TRY(base::Done done, only_asked(request, {"paper", "format", "page", "date"}));
  static_cast<void>(done);
  BIGHT_TRY(const std::string paper, asked_word(request, "paper", {"a4", "letter"}));
  BIGHT_TRY(const std::string format, asked_word(request, "format", {"pdf", "svg", "png"}));
  BIGHT_TRY(const long page, asked_whole(request, "page", 1, 1, 1000));
  BIGHT_TRY(const planning::Plan made, planning::plan(p.wish.part, p.shop->shop, p.wish.options));
  papers::SheetOptions options;
  options.paper = paper == "letter" ? papers::Paper::kLetter : papers::Paper::kA4;
  options.length = p.wish.options.style;
  options.date = request.asked("date").value_or(today()).substr(0, 40);
  const papers::Format kind = format == "svg"   ? papers::Format::kSvg
                              : format == "png" ? papers::Format::kPng
                                                : papers::Format::kPdf;
  BIGHT_TRY(std::vector<std::string> files, papers::sheet_files(made, options, kind));
  const auto index = static_cast<std::size_t>(format == "pdf" ? 0 : page - 1);
  if (index >= files.size()) {
    return Failure{"request.query", "page", "the sheet has no such page",
                   fmt::format("it has {}", files.size())};
  }
  std::size_t pages = files.size();
  if (format == "pdf") {
    BIGHT_TRY(const std::vector<std::string> drawn,
              papers::sheet_files(made, options, papers::Format::kSvg));
    pages = drawn.size();
  }
  Reply reply = bytes_reply(std::move(files[index]), format == "svg"   ? "image/svg+xml"
                                                     : format == "png" ? "image/png"
                                                                       : "application/pdf");
  reply.headers.emplace_back("X-Bight-Pages", std::to_string(pages));
  reply.headers.emplace_back("Content-Disposition",
                             fmt::format("inline; filename=\"sheet.{}\"", format));
  return reply;
}

Result<Reply> convert(const Request& request, const PlanningRequest& p) {
  BIGHT_TRY(base::Done done, only_asked(request, {"to", "what", "tolerance_mm"}));
  static_cast<void>(done);
  OutputWish wish;
  wish.to = request.asked("to").value_or("");
  wish.what = request.asked("what").value_or("");
  wish.unit = p.own_unit;
  wish.date = today();
  if (p.wish.options.style.unit != wish.unit) wish.unit = p.wish.options.style.unit;
  if (const auto tolerance = request.asked("tolerance_mm")) {
    BIGHT_TRY(wish.tolerance_mm, base::parse_length_mm(*tolerance));
    if (!(wish.tolerance_mm >= 0.001 && wish.tolerance_mm <= 10.0)) {
      return Failure{"request.query", "tolerance_mm", "this is out of range", "0.001 to 10"};
    }
  }
  std::optional<planning::Plan> made;
  if (wish.what == "strip") {
    BIGHT_TRY(made, planning::plan(p.wish.part, p.shop->shop, p.wish.options));
  }
  BIGHT_TRY(std::string bytes, write_output(p.wish.part, made ? &*made : nullptr, wish));
  const std::vector<OutputKind>& kinds = output_kinds();
  const auto kind = std::find_if(kinds.begin(), kinds.end(),
                                 [&](const OutputKind& k) { return k.name == wish.to; });
  Reply reply = bytes_reply(std::move(bytes), std::string(kind->type));
  reply.headers.emplace_back("Content-Disposition",
                             fmt::format("attachment; filename=\"part{}\"", kind->ending));
  return reply;
}

// --- springback

struct SpringbackWish {
  std::string die;
  std::string bender;
  std::vector<workshop::TrialBend> trials;  // angles only, not yet kept
  std::vector<Angle> wanted;
  Angle tolerance = Angle::degrees(0.5);
};

SpringbackWish read_springback_wish(exchange::Fields& f) {
  SpringbackWish wish;
  wish.die = f.text("die").value_or("");
  wish.bender = f.text("bender").value_or("");
  if (f.count("trials") > 200) f.complain("trials", "key.value", "at most 200 at a time", "");
  for (exchange::Fields& trial : f.tables("trials")) {
    workshop::TrialBend bend;
    bend.set_angle = trial.need_angle("set");
    bend.finished_angle = trial.need_angle("finished");
    trial.no_others();
    f.adopt(trial);
    wish.trials.push_back(bend);
  }
  const std::vector<double> wanted_deg = f.numbers("wanted").value_or(std::vector<double>{});
  if (wanted_deg.size() > 400) f.complain("wanted", "key.value", "at most 400 angles", "");
  for (const double deg : wanted_deg) {
    if (!(deg > 0.0 && deg < 360.0)) {
      f.complain("wanted", "key.value", "an angle lies between 0 and 360", "");
    }
    wish.wanted.push_back(Angle::degrees(deg));
  }
  const double tolerance_deg = f.number("tolerance_deg").value_or(0.5);
  if (!(tolerance_deg > 0.0 && tolerance_deg <= 20.0)) {
    f.complain("tolerance_deg", "key.value", "this is out of range", "above 0 and up to 20");
  }
  wish.tolerance = Angle::degrees(tolerance_deg);
  return wish;
}

// The die set by name; without one, the one the plan takes, else the first that fits.
Result<workshop::DieSet> wished_die(const part::Part& part, const workshop::Shop& shop,
                                    const SpringbackWish& wish) {
  BIGHT_TRY(const planning::ToolingChoice choice,
            planning::choose_tooling(part, shop, {wish.bender, wish.die}, {}));
  if (!wish.die.empty()) {
    for (const workshop::DieSet& die : shop.die_sets) {
      if (die.name == wish.die) return die;
    }
  }
  if (!choice.dies.empty()) return choice.dies.front().die;
  if (!shop.benders.empty()) {
    for (const planning::DieOpinion& view :
         planning::opinions(shop, shop.benders.front(), part, part.section, {})) {
      if (view.fits) return shop.die_sets[view.die_index];
    }
  }
  return Failure{"springback.die", "die", "no die set takes this tube", "name a die set"};
}

Json line_samples(const learning::SpringbackModel& model, Angle highest) {
  Json list = Json::array();
  constexpr int kSamples = 36;
  const Angle lowest = Angle::degrees(5);
  for (int i = 0; i <= kSamples; ++i) {
    const Angle set = lowest + (highest - lowest) * (static_cast<double>(i) / kSamples);
    const learning::AngleInterval band = model.finished_band(set);
    list.push_back({{"set_deg", set.deg()},
                    {"finished_deg", band.likely.deg()},
                    {"low_deg", band.low.deg()},
                    {"high_deg", band.high.deg()},
                    {"springback_deg", (set - band.likely).deg()},
                    {"springback_low_deg", (set - band.high).deg()},
                    {"springback_high_deg", (set - band.low).deg()}});
  }
  return list;
}

Json model_hits_json(const learning::SpringbackModel& model, const std::vector<Angle>& wanted,
                     Angle tolerance) {
  Json list = Json::array();
  std::vector<double> seen;
  learning::HitOptions options;
  options.tolerance = tolerance;
  for (const Angle angle : wanted) {
    const bool known = std::any_of(seen.begin(), seen.end(),
                                   [&](double deg) { return std::abs(deg - angle.deg()) < 1e-6; });
    if (known) continue;
    seen.push_back(angle.deg());
    const learning::AngleInterval band = model.set_band(angle);
    const learning::Hit hit = learning::first_hit(model, angle, options);
    list.push_back({{"wanted_deg", angle.deg()},
                    {"set_deg", band.likely.deg()},
                    {"set_low_deg", band.low.deg()},
                    {"set_high_deg", band.high.deg()},
                    {"first_set_deg", hit.set.deg()},
                    {"first_finished_deg", hit.finished.deg()},
                    {"overbend_chance", hit.overbend_chance}});
  }
  return list;
}

// ids: of the records, beside the first of the trials; the others were sent along.
Json trials_json(const planning::SpringbackReadings& given,
                 const std::vector<workshop::TrialBend>& trials,
                 const std::vector<std::string>& ids, const learning::SpringbackModel& model) {
  Json list = Json::array();
  for (std::size_t i = 0; i < given.readings.size(); ++i) {
    const learning::AngleTrial& angles = given.readings[i].angles;
    std::string why;
    for (const learning::LeftOut& left : model.left_out()) {
      if (left.index == i) why = left.why.message;
    }
    const std::size_t at = given.trial[i];
    list.push_back({{"id", at < ids.size() ? Json(ids[at]) : Json(nullptr)},
                    {"set_deg", angles.set.deg()},
                    {"finished_deg", angles.finished.deg()},
                    {"springback_deg", (angles.set - angles.finished).deg()},
                    {"heat", trials[at].heat},
                    {"date", trials[at].date},
                    {"who", trials[at].who},
                    {"own", i < given.num_matching},
                    {"left_out", why}});
  }
  return list;
}

Result<Json> springback_answer(const part::Part& part, const ShopView& view,
                               const SpringbackWish& wish) {
  workshop::Shop shop = view.shop;
  BIGHT_TRY(const workshop::DieSet die, wished_die(part, shop, wish));
  const stock::Section section =
      part.table.num_bends() > 0 ? part::section_at(part, 0) : part.section;
  for (workshop::TrialBend trial : wish.trials) {
    trial.die = die.name;
    trial.od_mm = section.height_mm();
    trial.wall_mm = section.hollow() ? section.wall_mm() : 0.0;
    trial.material = part.material.name;
    trial.heat = part.material.heat;
    shop.trials.push_back(std::move(trial));
  }
  BIGHT_TRY(const planning::KnownSpringback known,
            planning::KnownSpringback::make(shop, die, section, part.material));
  BIGHT_TRY(const planning::SpringbackReadings given,
            planning::springback_readings(shop, die, section, part.material));
  const learning::SpringbackModel& model = known.model();
  std::vector<Angle> wanted = wish.wanted;
  if (wanted.empty()) {
    for (const geometry::BendRow& row : part.table.rows()) wanted.push_back(row.angle);
  }
  Angle highest = Angle::degrees(140);
  for (const Angle angle : wanted) highest = std::max(highest, model.set_for(angle) * 1.1);
  Json best = nullptr;
  const Angle limit = std::min(die.angle_max.value_or(Angle::degrees(180)), Angle::degrees(180));
  if (const auto trial = learning::best_trial(model, wanted, limit)) {
    best = {{"set_deg", trial->set.deg()},
            {"worst_at_deg", trial->worst_at.deg()},
            {"half_now_deg", trial->half_now.deg()},
            {"half_after_deg", trial->half_after.deg()}};
  }
  return Json{{"die", die.name},
              {"die_radius_mm", die.radius_mm},
              {"a_deg", model.constant().deg()},
              {"b", model.proportional_ratio()},
              {"convention", learning::kConvention},
              {"basis", known.law().basis},
              {"proven", known.law().proven},
              {"noise_deg", model.noise_sigma().deg()},
              {"confidence", learning::kBandConfidence_ratio},
              {"first",
               {{"a_deg", known.first().constant.deg()},
                {"b", known.first().proportional_ratio},
                {"basis", given.basis},
                {"source", given.source}}},
              {"trials", trials_json(given, shop.trials, view.trial_ids, model)},
              {"line", line_samples(model, highest)},
              {"best_trial", best},
              {"hits", model_hits_json(model, wanted, wish.tolerance)}};
}

Reply springback(Context& context, const Request& request) {
  const Result<exchange::Document> body = read_body(request);
  if (!body.ok()) return failed(body.failure());
  exchange::Fields f(*body);
  const SpringbackWish wish = read_springback_wish(f);
  std::variant<PartRequest, Reply> read = read_part_request(context, f, *body);
  if (std::holds_alternative<Reply>(read)) return std::get<Reply>(std::move(read));
  f.no_others();
  if (const base::Status status = f.status(); !status.ok()) return failed(status.failure());
  const Result<std::shared_ptr<const ShopView>> shop = context.shop.view();
  if (!shop.ok()) return failed(shop.failure());
  const Result<Json> answer =
      springback_answer(std::get<PartRequest>(read).file.part, **shop, wish);
  return answer.ok() ? json_reply(*answer) : failed(answer.failure());
}

}  // namespace

void add_plans(Router& router, Context& context) {
  add_heavy(router, "/plan", planning_handler(context, plan));
  add_heavy(router, "/sheet", planning_handler(context, sheet));
  add_heavy(router, "/convert", planning_handler(context, convert));
}

void add_springback(Router& router, Context& context) {
  add_heavy(router, "/springback",
            [&context](const Request& request) { return springback(context, request); });
}

}  // namespace bight::service

// A run of pieces: begun from a plan, taken on by events, watched, and the gauge it is read with.
#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "exchange/run_document.h"
#include "exchange/watch_json.h"
#include "papers/run_chart.h"
#include "planning/plan_run.h"
#include "service/handlers.h"
#include "service/planning_request.h"

namespace bight::service {

using base::Failure;
using base::Result;
using Json = nlohmann::ordered_json;

namespace {

constexpr std::size_t kMostReadings = 5000;

// --- begun

Result<Reply> start(Context& context, const Request& request) {
  BIGHT_TRY(const Beside beside, keys_beside(request, {"pieces", "walk", "heat", "name"}));
  exchange::Fields f(beside.keys);
  const long pieces = f.whole("pieces").value_or(1);
  if (pieces < 1 || pieces > running::kMostRunPieces) {
    f.complain("pieces", "run.pieces", "this is out of range",
               fmt::format("1 to {}", running::kMostRunPieces));
  }
  const std::size_t walk = f.choice("walk", {"piece", "bend"}).value_or(0);
  const std::string heat = f.text("heat").value_or("");
  const std::string name = f.text("name").value_or("");
  BIGHT_TRY(const base::Done asked, f.status());
  static_cast<void>(asked);
  std::variant<PlanningRequest, Reply> read = read_planning_request(context, beside.rest);
  if (std::holds_alternative<Reply>(read)) return std::get<Reply>(std::move(read));
  const PlanningRequest& p = std::get<PlanningRequest>(read);
  BIGHT_TRY(const planning::Plan plan, planning::plan(p.wish.part, p.shop->shop, p.wish.options));
  running::Run run = planning::run_of_plan(plan, static_cast<int>(pieces));
  if (walk == 1) run.walk = running::Walk::kBend;
  if (!heat.empty()) run.heat = heat;
  if (!name.empty()) run.name = name;
  BIGHT_TRY(const exchange::Document body, read_body(beside.rest));
  const auto id = body.value.find("part_id");
  if (id != body.value.end()) run.part_record = id->get<std::string>();
  BIGHT_TRY(const base::Done possible, running::check_run(run));
  static_cast<void>(possible);
  return json_reply({{"run", exchange::run_document(run)},
                     {"state", exchange::run_state_json(run, running::state_of(run))}});
}

// --- where it stands

// The run in "run", or kept as a record under "run_id".
Result<running::Run> run_asked(Context& context, exchange::Fields& f,
                               const exchange::Document& body) {
  const bool given = f.has("run");
  const std::optional<std::string> id = f.text("run_id");
  if (given == id.has_value()) {
    return Failure{"request.run", "run", "exactly one of run and run_id is needed",
                   "send the run document, or the id of a record"};
  }
  if (given) {
    const Json& run = body.value.at("run");
    if (!run.is_object()) {
      return Failure{"request.run", "run", "the run is not an object", "send a run document"};
    }
    return exchange::read_run(exchange::document_of(run, ""));
  }
  BIGHT_TRY(const records::RecordId record_id, records::RecordId::parse(*id));
  BIGHT_TRY(const records::Record record, context.store.get(records::Kind::kRun, record_id));
  return exchange::read_run(
      exchange::document_of(Json::parse(record.document, nullptr, false), ""));
}

Result<Reply> status(Context& context, const Request& request) {
  BIGHT_TRY(const exchange::Document body, read_body(request));
  exchange::Fields f(body);
  BIGHT_TRY(running::Run run, run_asked(context, f, body));
  running::Merge merge;
  if (f.has("events")) {
    BIGHT_TRY(
        const std::vector<running::Event> events,
        exchange::read_events(exchange::document_of({{"events", body.value.at("events")}}, "")));
    BIGHT_TRY(merge, running::take_events(run, events));
  }
  f.no_others();
  BIGHT_TRY(const base::Done read, f.status());
  static_cast<void>(read);
  return json_reply({{"run", exchange::run_document(run)},
                     {"state", exchange::run_state_json(run, running::state_of(run))},
                     {"merge", exchange::merge_json(merge)}});
}

// --- watched

std::optional<double> number_within(exchange::Fields& f, const char* key, double low, double high) {
  const std::optional<double> value = f.number(key);
  if (value && !(*value > low && *value < high)) {
    f.complain(key, "key.value", "this is out of range",
               fmt::format("above {:g} and below {:g}", low, high));
  }
  return value;
}

Result<Reply> chart_reply(const running::Run& run, const running::StepWatch& watch,
                          const running::WatchOptions& options, const std::string& format,
                          const std::string& date) {
  papers::ChartWords words{run.name, date, options.tolerance_deg};
  const auto& tolerance = run.steps[static_cast<std::size_t>(watch.step - 1)].tolerance;
  if (!words.tolerance_deg && tolerance) words.tolerance_deg = tolerance->deg();
  const bool svg = format == "svg";
  BIGHT_TRY(
      std::vector<std::string> files,
      papers::run_chart_files(watch, words, svg ? papers::Format::kSvg : papers::Format::kPdf));
  Reply reply = bytes_reply(std::move(files.front()), svg ? "image/svg+xml" : "application/pdf");
  reply.headers.emplace_back("Content-Disposition",
                             fmt::format("inline; filename=\"chart.{}\"", format));
  return reply;
}

Result<Reply> chart(Context& context, const Request& request) {
  BIGHT_TRY(const base::Done query, only_asked(request, {"format", "date"}));
  static_cast<void>(query);
  BIGHT_TRY(const std::string format, asked_word(request, "format", {"json", "svg", "pdf"}));
  BIGHT_TRY(const exchange::Document body, read_body(request));
  exchange::Fields f(body);
  running::WatchOptions options;
  const long step = f.whole("step").value_or(1);
  options.tolerance_deg = number_within(f, "tolerance_deg", 0.0, 90.0);
  options.expected_sigma_deg = number_within(f, "sigma_deg", 0.0, 90.0);
  options.proportional_ratio = number_within(f, "slope", -0.5, 0.9).value_or(0.0);
  options.ewma.weight_ratio = number_within(f, "weight", 0.0, 1.0).value_or(0.2);
  BIGHT_TRY(const running::Run run, run_asked(context, f, body));
  f.no_others();
  BIGHT_TRY(const base::Done read, f.status());
  static_cast<void>(read);
  if (step < 1 || step > running::kMostRunSteps) {
    return Failure{"run.step", "step", "the run has no such step",
                   fmt::format("1 to {}", run.steps.size())};
  }
  BIGHT_TRY(const running::StepWatch watch,
            running::watch_step(run, running::state_of(run), static_cast<int>(step), options));
  if (format == "json") return json_reply(exchange::watch_json(watch));
  const std::string today = time_text(records::SystemClock().now()).substr(0, 10);
  return chart_reply(run, watch, options, format,
                     request.asked("date").value_or(today).substr(0, 40));
}

// --- the gauge

Result<Reply> gauge(Context&, const Request& request) {
  BIGHT_TRY(const exchange::Document body, read_body(request));
  exchange::Fields f(body);
  if (f.count("readings") > kMostReadings) {
    f.complain("readings", "key.value", fmt::format("at most {}", kMostReadings), "");
  }
  std::vector<running::GaugeReading> readings;
  if (f.status().ok()) {
    for (exchange::Fields& row : f.tables("readings")) {
      running::GaugeReading reading;
      reading.person = row.need_text("person");
      reading.piece = row.need_text("piece");
      reading.value = row.need_angle("angle").deg();
      row.no_others();
      f.adopt(row);
      readings.push_back(std::move(reading));
    }
  }
  const std::optional<double> tolerance_deg = number_within(f, "tolerance_deg", 0.0, 90.0);
  f.no_others();
  BIGHT_TRY(const base::Done read, f.status());
  static_cast<void>(read);
  std::optional<double> width_deg;
  if (tolerance_deg) width_deg = 2.0 * *tolerance_deg;
  BIGHT_TRY(const running::GaugeStudy study, running::gauge_study(readings, width_deg));
  return json_reply(exchange::gauge_json(study));
}

}  // namespace

void add_runs(Router& router, Context& context) {
  Route begun{"POST", "/run/start", with(context, start)};
  begun.heavy = true;
  router.add(std::move(begun));
  router.add({"POST", "/run/status", with(context, status)});
  router.add({"POST", "/run/chart", with(context, chart)});
  router.add({"POST", "/run/gauge", with(context, gauge)});
}

}  // namespace bight::service

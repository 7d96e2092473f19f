#include <fmt/format.h>

#include <memory>

#include "app/commands.h"
#include "app/inputs.h"
#include "app/run_files.h"
#include "exchange/watch_json.h"
#include "papers/run_chart.h"
#include "planning/plan_run.h"

namespace bight::app {

namespace {

using base::Result;
using nlohmann::ordered_json;
using running::Run;

struct RunArguments {
  PlanArguments plan;
  std::string file, output;
  int pieces = 1;
  std::string walk = "piece";
  std::string heat, name;
  // One event, or a file of them.
  std::string events, deed, key, at, by, read, set, angle, text, verdict;
  int piece = 0, step = 0;
  double tolerance_deg = 0.0, sigma_deg = 0.0, slope_ratio = 0.0;
  bool json = false;
};

int run_start(const RunArguments& arguments, Terminal& terminal) {
  const base::Status typed = check_typed({arguments.heat, arguments.name});
  if (!typed.ok()) return report(terminal, typed.failure());
  const Result<MadePlan> made = make_plan(arguments.plan);
  if (!made.ok()) return report(terminal, made.failure());
  Run run = planning::run_of_plan(made->plan, arguments.pieces);
  if (!arguments.heat.empty()) run.heat = arguments.heat;
  if (!arguments.name.empty()) run.name = arguments.name;
  if (arguments.walk == "bend") run.walk = running::Walk::kBend;
  const base::Status possible = running::check_run(run);
  if (!possible.ok()) return report(terminal, possible.failure());
  const base::Status saved = save_run(run, arguments.output);
  if (!saved.ok()) return report(terminal, saved.failure(), kUnwritable);
  terminal.out << arguments.output << "\n";
  return part::any_stop(made->plan.findings) ? kStopped : kDone;
}

// The event of the command line as JSON, so that it is read like any other.
ordered_json typed_event(const RunArguments& arguments) {
  const std::string now = running::print_moment(moment_now());
  const std::string at = arguments.at.empty() ? now : arguments.at;
  ordered_json json = {{"key", arguments.key}, {"at", at}, {"do", arguments.deed}};
  if (arguments.key.empty()) {
    json["key"] =
        fmt::format("typed-{}-{}-{}-{}", now, arguments.deed, arguments.piece, arguments.step);
  }
  const auto put = [&](const char* name, const std::string& value) {
    if (!value.empty()) json[name] = value;
  };
  put("by", arguments.by);
  const bool change = arguments.deed == "set";
  if (arguments.piece != 0) json[change ? "from_piece" : "piece"] = arguments.piece;
  if (arguments.step != 0) json["step"] = arguments.step;
  put("set", arguments.set);
  put("read", arguments.read);
  put("angle", arguments.angle);
  put("verdict", arguments.verdict);
  put("heat", arguments.heat);
  // The one text each deed has.
  const char* text = arguments.deed == "finish"      ? "reason"
                     : arguments.deed == "check"     ? "item"
                     : arguments.deed == "take-back" ? "of"
                                                     : "text";
  put(text, arguments.text);
  return json;
}

std::string where_it_stands(const Run& run, const running::RunState& state) {
  std::string words;
  if (state.next) {
    words = fmt::format("next: piece {}, bend {} (step {} of {}): set {:.2f} for {:.2f} degrees",
                        state.next->piece, state.next->bend, state.next->step, run.steps.size(),
                        state.next->set.deg(), state.next->wanted.deg());
    if (state.next->hits > 0) words += fmt::format(", hit {} times so far", state.next->hits);
  } else if (state.to_finish) {
    words = fmt::format("piece {} is bent: good, rework or scrap?", *state.to_finish);
  } else {
    words = state.ended ? "ended" : "all pieces are done";
  }
  return fmt::format("{}\n{} of {} good, {} rework, {} scrap\n", words, state.good,
                     run.pieces_wanted, state.rework, state.scrap);
}

int print_run(const Run& run, bool json, Terminal& terminal) {
  const running::RunState state = running::state_of(run);
  if (json) {
    terminal.out << exchange::run_state_json(run, state).dump(2) << "\n";
  } else {
    terminal.out << where_it_stands(run, state);
  }
  return kDone;
}

int take_and_save(const RunArguments& arguments, const exchange::Document& document,
                  Terminal& terminal) {
  Result<Run> run = load_run(arguments.file);
  if (!run.ok()) return report(terminal, run.failure());
  const auto events = exchange::read_events(document);
  if (!events.ok()) return report(terminal, events.failure());
  Run changed = *run;
  const auto merge = running::take_events(changed, *events);
  if (!merge.ok()) return report(terminal, merge.failure());
  const base::Status saved = save_run(changed, arguments.file);
  if (!saved.ok()) return report(terminal, saved.failure(), kUnwritable);
  for (const running::Clash& clash : merge->clashes) {
    terminal.err << fmt::format("bight: {}: this key says two things; the earlier stays\n",
                                clash.kept.key);
  }
  return print_run(changed, arguments.json, terminal);
}

int run_event(const RunArguments& arguments, Terminal& terminal) {
  const base::Status typed = check_typed({arguments.deed, arguments.key, arguments.at, arguments.by,
                                          arguments.set, arguments.read, arguments.angle,
                                          arguments.verdict, arguments.heat, arguments.text});
  if (!typed.ok()) return report(terminal, typed.failure());
  if (arguments.events.empty()) {
    return take_and_save(arguments, exchange::document_of(typed_event(arguments), "event"),
                         terminal);
  }
  const auto document = load_document(arguments.events);
  if (!document.ok()) return report(terminal, document.failure());
  return take_and_save(arguments, *document, terminal);
}

int run_finish(RunArguments arguments, Terminal& terminal) {
  arguments.deed = "end";
  return run_event(arguments, terminal);
}

int run_status(const RunArguments& arguments, Terminal& terminal) {
  const Result<Run> run = load_run(arguments.file);
  if (!run.ok()) return report(terminal, run.failure());
  return print_run(*run, arguments.json, terminal);
}

Result<running::StepWatch> watched(const RunArguments& arguments, const Run& run) {
  running::WatchOptions options;
  if (arguments.tolerance_deg > 0.0) options.tolerance_deg = arguments.tolerance_deg;
  if (arguments.sigma_deg > 0.0) options.expected_sigma_deg = arguments.sigma_deg;
  options.proportional_ratio = arguments.slope_ratio;
  return running::watch_step(run, running::state_of(run), std::max(1, arguments.step), options);
}

int run_chart(const RunArguments& arguments, Terminal& terminal) {
  const Result<Run> run = load_run(arguments.file);
  if (!run.ok()) return report(terminal, run.failure());
  const auto watch = watched(arguments, *run);
  if (!watch.ok()) return report(terminal, watch.failure());
  if (arguments.json || arguments.output.empty()) {
    terminal.out << exchange::watch_json(*watch).dump(2) << "\n";
  }
  if (arguments.output.empty()) return kDone;
  const bool pdf = arguments.output.ends_with(".pdf");
  if (!pdf && !arguments.output.ends_with(".svg")) {
    return report(terminal,
                  {"papers.format", arguments.output, "a chart cannot be written under this name",
                   "a name that ends in .pdf or .svg"},
                  kUnwritable);
  }
  papers::ChartWords words{run->name, today(), std::nullopt};
  const auto& tolerance = run->steps[static_cast<std::size_t>(watch->step - 1)].tolerance;
  if (tolerance) words.tolerance_deg = tolerance->deg();
  if (arguments.tolerance_deg > 0.0) words.tolerance_deg = arguments.tolerance_deg;
  const auto files =
      papers::run_chart_files(*watch, words, pdf ? papers::Format::kPdf : papers::Format::kSvg);
  if (!files.ok()) return report(terminal, files.failure(), kUnwritable);
  const base::Status saved = save_bytes(files->front(), arguments.output);
  if (!saved.ok()) return report(terminal, saved.failure(), kUnwritable);
  if (!arguments.json) terminal.out << arguments.output << "\n";
  return kDone;
}

std::string index_words(const char* name, const std::optional<running::Index>& index) {
  if (!index) return "";
  return fmt::format("{:>4} {:.2f}, between {:.2f} and {:.2f}\n", name, index->value,
                     index->interval.low, index->interval.high);
}

int run_capability(const RunArguments& arguments, Terminal& terminal) {
  const Result<Run> run = load_run(arguments.file);
  if (!run.ok()) return report(terminal, run.failure());
  const auto watch = watched(arguments, *run);
  if (!watch.ok()) return report(terminal, watch.failure());
  if (!watch->capability) {
    return report(terminal, {"chart.few", arguments.file,
                             "no tolerance is known, or under two pieces were measured",
                             "measure two pieces; give --tolerance where the part has none"});
  }
  const running::Capability& c = *watch->capability;
  if (arguments.json) {
    terminal.out << exchange::capability_json(c).dump(2) << "\n";
    return kDone;
  }
  terminal.out << fmt::format(
      "{} pieces from piece {} on, mean {:+.3f} degrees off, sigma {:.3f} piece to piece, {:.3f} "
      "in all\n",
      c.count, watch->from_piece, c.mean, c.sigma_within, c.sigma_overall);
  terminal.out << index_words("Cp", c.cp) << index_words("Cpk", c.cpk) << index_words("Pp", c.pp)
               << index_words("Ppk", c.ppk);
  terminal.out << fmt::format("each with {:.0f} % confidence; {:.2g} % of pieces beyond\n",
                              100 * c.share_ratio, 100 * c.beyond_ratio);
  return kDone;
}

int run_gauge(const RunArguments& arguments, Terminal& terminal) {
  const auto readings = load_gauge_readings(arguments.file);
  if (!readings.ok()) return report(terminal, readings.failure());
  std::optional<double> width;
  if (arguments.tolerance_deg > 0.0) width = 2.0 * arguments.tolerance_deg;
  const auto study = running::gauge_study(*readings, width);
  if (!study.ok()) return report(terminal, study.failure());
  if (arguments.json) {
    terminal.out << exchange::gauge_json(*study).dump(2) << "\n";
    return kDone;
  }
  const auto scatter = [](const char* name, const running::Scatter& s) {
    return fmt::format("{}: sigma {:.3f} degrees, between {:.3f} and {:.3f}\n", name, s.sigma,
                       s.interval.low, s.interval.high);
  };
  terminal.out << scatter("same person again", study->repeatability)
               << scatter("whoever reads", study->gauge);
  for (const running::PersonOff& off : study->offs) {
    terminal.out << fmt::format("{} reads {:+.3f} degrees from the mean\n", off.person, off.off);
  }
  if (study->share_of_tolerance_ratio) {
    terminal.out << fmt::format("six sigmas take {:.0f} % of the tolerance\n",
                                100 * *study->share_of_tolerance_ratio);
  }
  return kDone;
}

using Arguments = std::shared_ptr<RunArguments>;

CLI::App* verb(CLI::App& parent, Terminal& terminal, Action& action, const Arguments& arguments,
               const char* name, const char* help, int (*work)(const RunArguments&, Terminal&)) {
  CLI::App* command = parent.add_subcommand(name, help);
  command->callback(
      [=, &terminal, &action] { action = [=, &terminal] { return work(*arguments, terminal); }; });
  return command;
}

void add_event_options(CLI::App& command, RunArguments& a) {
  command.add_option("file", a.file, "run file")->required();
  command.add_option("--events", a.events, "take the events of this file (JSON or TOML)");
  command.add_option("--do", a.deed, "begin, hit, done, measure, finish, set, check, note, …");
  command.add_option("--piece", a.piece, "piece");
  command.add_option("--step", a.step, "step in the order of working");
  command.add_option("--set", a.set, "angle keyed in");
  command.add_option("--read", a.read, "angle once the tube is free");
  command.add_option("--angle", a.angle, "finished angle measured");
  command.add_option("--verdict", a.verdict, "good, rework or scrap");
  command.add_option("--heat", a.heat, "heat of the piece begun");
  command.add_option("--text", a.text, "remark, reason, checklist item or key taken back");
  command.add_option("--key", a.key, "name of the event; the same again changes nothing");
  command.add_option("--at", a.at, "time in UTC (default: now)");
  command.add_option("--by", a.by, "initials");
  command.add_flag("--json", a.json, "print where the run stands as JSON");
}

void add_watch_options(CLI::App& command, RunArguments& a) {
  command.add_option("file", a.file, "run file")->required();
  command.add_option("--step", a.step, "step in the order of working (default: 1)");
  command.add_option("--tolerance", a.tolerance_deg, "degrees each way (default: the part's)");
  command.add_option("--sigma", a.sigma_deg, "scatter expected until eight pieces are read");
  command.add_option("--slope", a.slope_ratio, "share of the set angle lost, for shifts");
  command.add_flag("--json", a.json, "print as JSON");
}

}  // namespace

void add_run(CLI::App& root, Terminal& terminal, Action& action) {
  CLI::App* command = root.add_subcommand("run", "a run of pieces: events, charts, capability");
  command->require_subcommand(1);
  command->footer(
      "Examples:\n"
      "  bight run start rail.toml -o lot.toml --pieces 12\n"
      "  bight run event lot.toml --do hit --piece 1 --step 1 --set 94.6 --read 90.1\n"
      "  bight run status lot.toml\n"
      "  bight run chart lot.toml --step 1 -o chart.pdf\n"
      "  bight run gauge readings.csv --tolerance 0.5\n"
      "Events have keys: the same event again changes nothing, and queues merge in any order.");
  const auto arguments = std::make_shared<RunArguments>();
  RunArguments& a = *arguments;
  const auto add = [&](const char* name, const char* help,
                       int (*work)(const RunArguments&, Terminal&)) {
    return verb(*command, terminal, action, arguments, name, help, work);
  };
  CLI::App* start = add("start", "begin a run from a part's plan", run_start);
  add_plan_options(*start, a.plan);
  start->add_option("-o,--output", a.output, "run file to write (.toml or .json)")->required();
  start->add_option("--pieces", a.pieces, "how many are wanted")->capture_default_str();
  start->add_option("--walk", a.walk, "piece by piece, or one bend on all pieces")
      ->check(CLI::IsMember({"piece", "bend"}))
      ->capture_default_str();
  start->add_option("--heat", a.heat, "heat of the first pieces");
  start->add_option("--name", a.name, "name of the run");
  add_event_options(*add("event", "add what happened", run_event), a);
  CLI::App* status = add("status", "where the run stands", run_status);
  status->add_option("file", a.file, "run file")->required();
  status->add_flag("--json", a.json, "print as JSON");
  CLI::App* chart = add("chart", "control chart of a step, and what to do", run_chart);
  add_watch_options(*chart, a);
  chart->add_option("-o,--output", a.output, "PDF or SVG file to write");
  add_watch_options(*add("capability", "how well a step keeps its tolerance", run_capability), a);
  CLI::App* finish = add("finish", "end the run", [](const RunArguments& given, Terminal& out) {
    return run_finish(given, out);
  });
  finish->add_option("file", a.file, "run file")->required();
  finish->add_option("--by", a.by, "initials");
  finish->add_flag("--json", a.json, "print as JSON");
  CLI::App* gauge = add("gauge", "how far two people read the angle gauge alike", run_gauge);
  gauge->add_option("file", a.file, "CSV with person, piece and angle")->required();
  gauge->add_option("--tolerance", a.tolerance_deg, "degrees each way");
  gauge->add_flag("--json", a.json, "print as JSON");
}

}  // namespace bight::app

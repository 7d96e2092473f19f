#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <memory>
#include <set>

#include "app/bench_commands.h"
#include "app/bench_inputs.h"
#include "app/learn_text.h"
#include "app/trial_files.h"
#include "base/angle_text.h"
#include "exchange/lessons_json.h"
#include "exchange/shop_toml.h"
#include "exchange/shop_write.h"
#include "stock/metals.h"

namespace bight::app {

namespace {

using base::Angle;
using base::Failure;
using learning::AngleTrial;
using planning::DieLessons;

struct Lessons {
  MadePlan made;
  std::vector<DieLessons> lessons;
};

base::Result<Lessons> read_lessons(const PlanArguments& arguments) {
  BIGHT_TRY(MadePlan made, make_plan(arguments));
  BIGHT_TRY(const workshop::Shop shop, load_shop(arguments.shop));
  BIGHT_TRY(std::vector<DieLessons> lessons, planning::lessons_of(made.plan, shop));
  return Lessons{std::move(made), std::move(lessons)};
}

struct ListArguments {
  std::string shop;
  std::string units;
  bool json = false;
};

int run_list(const ListArguments& arguments, Terminal& terminal) {
  const base::Result<workshop::Shop> shop = load_shop(arguments.shop);
  if (!shop.ok()) return report(terminal, shop.failure());
  if (!arguments.json) {
    terminal.out << trials_text(shop->trials,
                                style_of(arguments.units, base::LengthUnit::kMillimetre));
    return kDone;
  }
  nlohmann::ordered_json trials = nlohmann::ordered_json::array();
  for (const workshop::TrialBend& t : shop->trials) trials.push_back(exchange::trial_document(t));
  terminal.out << nlohmann::ordered_json{{"schema", 1}, {"trials", trials}}.dump(2) << "\n";
  return kDone;
}

int run_show_lessons(const PlanArguments& arguments, bool json, bool next, Terminal& terminal) {
  const base::Result<Lessons> read = read_lessons(arguments);
  if (!read.ok()) return report(terminal, read.failure());
  if (json) {
    terminal.out << exchange::lessons_json(read->made.plan, read->lessons).dump(2) << "\n";
    return kDone;
  }
  for (const DieLessons& one : read->lessons) {
    terminal.out << (next ? next_text(one)
                          : known_text(one.die, one.known, one.wanted, read->made.style,
                                       terminal.colour));
  }
  return kDone;
}

struct HitArguments {
  PlanArguments plan;
  std::size_t bend = 0;
  std::string tolerance = "0.5";
  double chance_percent = 5.0;
  std::vector<std::string> hits;  // "92=87.9"
  bool json = false;
};

base::Result<Angle> angle_of(const std::string& text, const std::string& option) {
  const base::Result<Angle> angle = base::parse_angle(text);
  if (angle.ok() && angle->deg() > 0.0 && angle->deg() < 360.0) return angle;
  if (!angle.ok()) {
    return Failure{angle.failure().code, option, angle.failure().message, angle.failure().remedy};
  }
  return Failure{"learn.hit", option, fmt::format("{} is no angle of a bend", text),
                 "an angle between 0 and 360 degrees"};
}

base::Result<std::vector<AngleTrial>> hits_of(const std::vector<std::string>& texts) {
  std::vector<AngleTrial> out;
  for (const std::string& text : texts) {
    const std::size_t equals = text.find('=');
    if (equals == std::string::npos) {
      return Failure{"learn.hit", "--hit " + text, "this is no hit",
                     "what was set and what was read after release: --hit 92=87.9"};
    }
    BIGHT_TRY(const Angle set, angle_of(text.substr(0, equals), "--hit " + text));
    BIGHT_TRY(const Angle finished, angle_of(text.substr(equals + 1), "--hit " + text));
    if (finished > set + Angle::degrees(0.5) || (!out.empty() && set < out.back().set)) {
      return Failure{"learn.hit", "--hit " + text,
                     "a bend finishes below what was set, and every hit is set above the last",
                     "give set=finished in the order of the hits"};
    }
    out.push_back({set, finished});
  }
  return out;
}

int run_hit(const HitArguments& arguments, Terminal& terminal) {
  const base::Result<Lessons> read = read_lessons(arguments.plan);
  if (!read.ok()) return report(terminal, read.failure());
  const planning::Plan& plan = read->made.plan;
  if (arguments.bend < 1 || arguments.bend > plan.bent_table.num_bends()) {
    return report(terminal,
                  {"learn.hit", "--bend", fmt::format("the part has no bend {}", arguments.bend),
                   fmt::format("1 to {}", plan.bent_table.num_bends())});
  }
  const base::Result<Angle> tolerance = angle_of(arguments.tolerance, "--tolerance");
  if (!tolerance.ok()) return report(terminal, tolerance.failure());
  const base::Result<std::vector<AngleTrial>> hits = hits_of(arguments.hits);
  if (!hits.ok()) return report(terminal, hits.failure());
  learning::HitOptions options;
  options.tolerance = *tolerance;
  options.overbend_chance_ratio = arguments.chance_percent / 100.0;
  const learning::SpringbackModel& model =
      planning::lessons_for(read->lessons, arguments.bend).known.model();
  const Angle wanted = plan.bent_table.rows()[arguments.bend - 1].angle;
  const learning::Hit hit = hits->empty() ? learning::first_hit(model, wanted, options)
                                          : learning::next_hit(model, *hits, wanted, options);
  const learning::HitForecast forecast = learning::forecast_hits(model, wanted, options);
  if (arguments.json) {
    terminal.out << exchange::hit_json(plan, arguments.bend, hit, forecast, options).dump(2)
                 << "\n";
  } else {
    terminal.out << hit_text(wanted, *hits, hit, forecast, options);
  }
  return kDone;
}

// What the die's records say once the trials are in.
void print_known(const workshop::Shop& shop, const workshop::TrialBend& trial,
                 const base::LengthStyle& style, Terminal& terminal) {
  const auto die = std::find_if(shop.die_sets.begin(), shop.die_sets.end(),
                                [&](const workshop::DieSet& d) { return d.name == trial.die; });
  if (die == shop.die_sets.end() || !die->groove.round) return;
  const base::Result<stock::Section> tube =
      2.0 * trial.wall_mm < trial.od_mm ? stock::Section::round_tube(trial.od_mm, trial.wall_mm)
                                        : stock::Section::round_bar(trial.od_mm);
  const base::Result<exchange::KnownMetals> metals = exchange::metals_with(shop.materials);
  if (!tube.ok() || !metals.ok()) return;
  const base::Result<stock::MetalAnswer> metal = stock::find_metal(**metals, trial.material);
  if (!metal.ok()) return;
  stock::Material of_heat = metal->metal.material;
  of_heat.heat = trial.heat;
  const auto known = planning::KnownSpringback::make(shop, *die, *tube, of_heat);
  if (!known.ok()) return;
  terminal.out << known_text(*die, *known, {trial.finished_angle}, style, terminal.colour);
}

struct Adding {
  std::string folder;
  exchange::Twice twice = exchange::Twice::kAllAlike;
  base::LengthStyle style;
};

int add_and_show(const Adding& adding, const std::vector<workshop::TrialBend>& trials,
                 Terminal& terminal) {
  const base::Status added = add_trials(adding.folder, trials, adding.twice);
  if (!added.ok()) {
    const bool unwritable = added.failure().code == "learn.write";
    return report(terminal, added.failure(), unwritable ? kUnwritable : kUnreadable);
  }
  terminal.out << fmt::format("{} trial bend{} added to {}/trials.toml\n", trials.size(),
                              trials.size() == 1 ? "" : "s", adding.folder);
  const base::Result<workshop::Shop> shop = load_shop(adding.folder);
  if (!shop.ok()) return report(terminal, shop.failure());
  std::set<std::string> shown;
  for (const workshop::TrialBend& trial : trials) {
    if (shown.insert(trial.die).second) print_known(*shop, trial, adding.style, terminal);
  }
  return kDone;
}

int run_add(const BenchArguments& arguments, bool again, Terminal& terminal) {
  const base::Result<std::string> folder = shop_folder(arguments.plan.shop);
  if (!folder.ok()) return report(terminal, folder.failure());
  const base::Result<BenchInput> input = read_bench_input(arguments);
  if (!input.ok()) return report(terminal, input.failure());
  const exchange::MeasuredPiece& piece = input->piece;
  const auto trials =
      planning::trials_of_piece(input->made.plan, piece.measured, piece.heat,
                                piece.date.empty() ? today() : piece.date, piece.who);
  if (!trials.ok()) return report(terminal, trials.failure());
  const std::vector<std::size_t> as_planned = planning::set_as_planned(piece.measured);
  Adding adding{*folder, exchange::Twice::kAllAlike, input->made.style};
  if (!as_planned.empty()) adding.twice = exchange::Twice::kAlikeButSetAngle;
  if (again) adding.twice = exchange::Twice::kAllowed;
  if (!as_planned.empty()) {
    terminal.err << fmt::format(
        "bight: bend{} {}: taken to be set as the plan says now; write `set` into the piece where "
        "it was not\n",
        as_planned.size() == 1 ? "" : "s", fmt::join(as_planned, ", "));
  }
  return add_and_show(adding, *trials, terminal);
}

// A trial bend by hand: the keys of a [[trial]] entry as options.
struct TrialArguments {
  std::string shop;
  std::string units;
  bool again = false;
  std::vector<std::pair<const char*, std::string>> values;  // by key
};

constexpr std::pair<const char*, const char*> kTrialKeys[] = {
    {"die", "die set it was bent in"},
    {"od", "outside diameter of the tube"},
    {"wall", "its wall"},
    {"material", "its metal"},
    {"set", "angle keyed in"},
    {"finished", "angle measured after release"},
    {"heat", "heat number"},
    {"bender", "bender it was bent on"},
    {"blank", "length the blank was cut to"},
    {"leg_a_outside", "leg on the side of the mark, to the outside of the other leg"},
    {"leg_b_outside", "the other leg, likewise"},
    {"mark", "the die's mark from the end of leg A, before bending"},
    {"radius_after", "centreline radius measured after release"},
    {"date", "day (default: today)"},
    {"who", "initials"}};

int run_trial(const TrialArguments& arguments, Terminal& terminal) {
  const base::Result<std::string> folder = shop_folder(arguments.shop);
  if (!folder.ok()) return report(terminal, folder.failure());
  nlohmann::ordered_json entry = nlohmann::ordered_json::object();
  if (arguments.units == "in") entry["units"] = "in";
  for (const auto& [key, text] : arguments.values) {
    if (!text.empty()) entry[key] = text;
  }
  if (!entry.contains("date")) entry["date"] = today();
  const base::Result<exchange::KnownMetals> metals = metals_of_shop(*folder);
  if (!metals.ok()) return report(terminal, metals.failure());
  const base::Result<workshop::TrialBend> trial =
      exchange::read_trial(exchange::document_of(entry, "the command line", *metals));
  if (!trial.ok()) return report(terminal, trial.failure());
  const auto unit =
      arguments.units == "in" ? base::LengthUnit::kInch : base::LengthUnit::kMillimetre;
  const exchange::Twice twice =
      arguments.again ? exchange::Twice::kAllowed : exchange::Twice::kAllAlike;
  return add_and_show({*folder, twice, style_of(unit)}, {*trial}, terminal);
}

void add_again_option(CLI::App& command, bool& again) {
  command.add_flag("--again", again, "add what stands there already once more");
}

CLI::App* add_trial_command(CLI::App& learn, const std::shared_ptr<TrialArguments>& arguments) {
  CLI::App* command = learn.add_subcommand("trial", "enter one trial bend into the shop's records");
  command->add_option("--shop", arguments->shop, "shop folder (default: $BIGHT_SHOP)");
  command->add_option("--units", arguments->units, "of bare lengths: mm or in")
      ->check(CLI::IsMember({"mm", "in"}));
  add_again_option(*command, arguments->again);
  // Filled once: options hold references into it.
  for (const auto& [key, help] : kTrialKeys) arguments->values.emplace_back(key, "");
  for (std::size_t i = 0; i < arguments->values.size(); ++i) {
    std::string option = std::string("--") + kTrialKeys[i].first;
    std::replace(option.begin() + 2, option.end(), '_', '-');
    CLI::Option* added =
        command->add_option(option, arguments->values[i].second, kTrialKeys[i].second);
    if (i < 6) added->required();
  }
  return command;
}

void add_list_command(CLI::App& learn, Terminal& terminal, Action& action) {
  const auto list = std::make_shared<ListArguments>();
  CLI::App* command = learn.add_subcommand("list", "the shop's trial bends");
  command->add_option("--shop", list->shop,
                      "shop folder (default: $BIGHT_SHOP, else the demo shop)");
  command->add_option("--units", list->units, "mm or in")->check(CLI::IsMember({"mm", "in"}));
  command->add_flag("--json", list->json, "print as JSON");
  command->callback(
      [=, &terminal, &action] { action = [=, &terminal] { return run_list(*list, terminal); }; });
}

void add_hit_command(CLI::App& learn, Terminal& terminal, Action& action) {
  const auto hit = std::make_shared<HitArguments>();
  CLI::App* command = learn.add_subcommand(
      "hit", "the first or next set angle of one bend, so that it is not spoilt");
  add_plan_options(*command, hit->plan);
  command->add_option("--bend", hit->bend, "which bend, counted from end A")->required();
  command->add_option("--tolerance", hit->tolerance, "a bend is good within this, degrees")
      ->capture_default_str();
  command->add_option("--chance", hit->chance_percent, "chance of overbending to take, percent")
      ->check(CLI::Range(0.1, 50.0))
      ->capture_default_str();
  command->add_option("--hit", hit->hits, "a hit made: set=read after release; may be repeated");
  command->add_flag("--json", hit->json, "print as JSON");
  command->callback(
      [=, &terminal, &action] { action = [=, &terminal] { return run_hit(*hit, terminal); }; });
}

void add_show_commands(CLI::App& learn, Terminal& terminal, Action& action) {
  for (const bool next : {false, true}) {
    const auto plan = std::make_shared<PlanArguments>();
    const auto json = std::make_shared<bool>(false);
    CLI::App* command =
        next ? learn.add_subcommand("next", "the trial bend that narrows a part's angles most")
             : learn.add_subcommand("show", "springback, stretch and their bands for a part");
    add_plan_options(*command, *plan);
    command->add_flag("--json", *json, "print as JSON");
    command->callback([=, &terminal, &action] {
      action = [=, &terminal] { return run_show_lessons(*plan, *json, next, terminal); };
    });
  }
}

}  // namespace

void add_learn(CLI::App& root, Terminal& terminal, Action& action) {
  CLI::App* learn =
      root.add_subcommand("learn", "trial bends and measured pieces: what the shop has learned");
  learn->require_subcommand(1);
  learn->footer(
      "Examples:\n"
      "  bight learn list\n"
      "  bight learn trial --die 38R114 --od 38.1 --wall 1.65 --material '1020 DOM' --set 94.6 \\\n"
      "      --finished 90.1 --heat F2207 --shop ~/shop\n"
      "  bight learn add rail.toml first-piece.toml --shop ~/shop\n"
      "  bight learn show rail.toml\n"
      "  bight learn next rail.toml\n"
      "  bight learn hit rail.toml --bend 2 --hit 45=43.1");
  add_list_command(*learn, terminal, action);
  add_show_commands(*learn, terminal, action);
  add_hit_command(*learn, terminal, action);
  const auto bench = std::make_shared<BenchArguments>();
  const auto again = std::make_shared<bool>(false);
  CLI::App* add = learn->add_subcommand("add", "enter a measured piece's bends as trials");
  add_bench_options(*add, *bench);
  add_again_option(*add, *again);
  add->callback([=, &terminal, &action] {
    action = [=, &terminal] { return run_add(*bench, *again, terminal); };
  });
  const auto trial = std::make_shared<TrialArguments>();
  add_trial_command(*learn, trial)->callback([=, &terminal, &action] {
    action = [=, &terminal] { return run_trial(*trial, terminal); };
  });
}

}  // namespace bight::app

#include <fmt/format.h>

#include <cmath>
#include <memory>
#include <nlohmann/json.hpp>

#include "app/commands.h"
#include "app/inputs.h"
#include "planning/roll_job.h"
#include "stock/catalogue.h"
#include "stock/metals.h"

namespace bight::app {

namespace {

using base::Failure;
using base::Result;
using mechanics::RingMeasure;
using nlohmann::ordered_json;
using planning::RollJob;
using planning::RollPlan;

struct RollArguments {
  std::vector<std::string> size;
  std::string material = "S235JRH";
  std::string radius;
  std::string diameter;
  std::string measured;
  bool turned = false;
  std::string toes = "in";
  std::string spacing;
  std::string bottom;
  std::string top;
  int passes = 4;
  std::vector<std::string> log;
  std::string touch;
  std::string flats;
  std::string stick;
  std::string kerf;
  std::string units = "mm";
  bool json = false;
};

// Reads lengths of the command line; the first one that cannot be read is kept.
class Lengths {
 public:
  explicit Lengths(base::LengthRules rules) : rules_(rules) {}

  std::optional<double> read(const std::string& text, std::string_view option) {
    if (text.empty()) return std::nullopt;
    const Result<double> length = base::parse_length_mm(text, rules_);
    if (length.ok()) return *length;
    if (!failure_) {
      failure_ = length.failure();
      failure_->where = option;
    }
    return std::nullopt;
  }
  const std::optional<Failure>& failure() const { return failure_; }

 private:
  base::LengthRules rules_;
  std::optional<Failure> failure_;
};

RingMeasure measure_of(const RollArguments& arguments) {
  if (arguments.measured == "inside") return RingMeasure::kInside;
  if (arguments.measured == "outside") return RingMeasure::kOutside;
  if (arguments.measured == "centreline") return RingMeasure::kCentreline;
  // A radius is to the centreline by custom; a diameter is not to anything until it is said.
  return arguments.diameter.empty() ? RingMeasure::kCentreline : RingMeasure::kNotSaid;
}

Result<RollJob> read_lengths(const RollArguments& arguments, base::LengthRules rules, RollJob job) {
  Lengths lengths(rules);
  job.ring = !arguments.diameter.empty();
  job.measure = measure_of(arguments);
  job.radius_mm = lengths.read(arguments.radius, "--radius").value_or(0.0);
  if (job.ring) job.radius_mm = lengths.read(arguments.diameter, "--diameter").value_or(0.0) / 2;
  if (!arguments.spacing.empty()) {
    job.machine = mechanics::RollMachine{lengths.read(arguments.spacing, "--spacing").value_or(0),
                                         lengths.read(arguments.bottom, "--bottom").value_or(0),
                                         lengths.read(arguments.top, "--top").value_or(0)};
  }
  job.num_passes = arguments.passes;
  for (const std::string& pass : arguments.log) {
    const std::size_t colon = pass.find(':');
    if (colon == std::string::npos) {
      return Failure{"roll.log", "--pass", fmt::format("\"{}\" is not a pass", pass),
                     "reading and measured radius with a colon, 24.0:2100"};
    }
    job.log.push_back({lengths.read(pass.substr(0, colon), "--pass").value_or(0),
                       lengths.read(pass.substr(colon + 1), "--pass").value_or(0)});
  }
  job.touch_mm = lengths.read(arguments.touch, "--touch");
  job.flats_mm = lengths.read(arguments.flats, "--flats").value_or(0.0);
  job.stick_mm = lengths.read(arguments.stick, "--stick");
  job.kerf_mm = lengths.read(arguments.kerf, "--kerf").value_or(job.kerf_mm);
  if (lengths.failure()) return *lengths.failure();
  return job;
}

struct ReadJob {
  RollJob job;
  std::string size;
  std::vector<std::string> notes;
};

Result<ReadJob> read_job(const RollArguments& arguments) {
  base::LengthRules rules;
  if (arguments.units.rfind("in", 0) == 0) rules.default_unit = base::LengthUnit::kInch;
  BIGHT_TRY(const stock::SizeTables tables, stock::SizeTables::built_in());
  BIGHT_TRY(const stock::StockAnswer answer,
            stock::choose_stock(tables, as_one_text(arguments.size), rules));
  BIGHT_TRY(const exchange::KnownMetals metals, metals_of_shop(""));
  BIGHT_TRY(const stock::MetalAnswer metal, stock::find_metal(*metals, arguments.material));
  const stock::Section typed =
      answer.size.section.facing(arguments.toes == "out" ? stock::Toes::kOut : stock::Toes::kIn);
  BIGHT_TRY(RollJob job,
            read_lengths(arguments, rules,
                         {arguments.turned ? typed.turned() : typed, metal.metal.material}));
  ReadJob read{std::move(job), answer.size.designation, metal.notes};
  for (const stock::StockNote& note : answer.notes) read.notes.push_back(note.text);
  return read;
}

ordered_json finite_json(double value) {
  return std::isfinite(value) ? ordered_json(value) : ordered_json(nullptr);
}

ordered_json pass_json(const planning::PlannedPass& planned) {
  const mechanics::RollPass& pass = planned.pass;
  return {{"position_mm", pass.position_mm},
          {"reading_mm", planned.reading_mm ? ordered_json(*planned.reading_mm) : nullptr},
          {"loaded_radius_mm", pass.loaded_clr_mm},
          {"released_radius_mm", finite_json(pass.released_clr_mm)},
          {"released_low_mm", finite_json(pass.released_band.low_mm)},
          {"released_high_mm", finite_json(pass.released_band.high_mm)},
          {"moment_nm", pass.moment_nmm / 1000},
          {"top_force_n", pass.top_force_n},
          {"entry_force_n", pass.entry_force_n},
          {"exit_force_n", pass.exit_force_n}};
}

ordered_json plan_json(const ReadJob& read, const RollPlan& plan) {
  ordered_json json = {{"schema", 1},
                       {"size", read.size},
                       {"section", read.job.section.text()},
                       {"metal", plan.metal},
                       {"centreline_radius_mm", plan.centreline_mm}};
  json["passes"] = ordered_json::array();
  for (const planning::PlannedPass& pass : plan.passes) json["passes"].push_back(pass_json(pass));
  if (plan.circle_travel_mm) json["circle_position_mm"] = *plan.circle_travel_mm;
  if (plan.scale) {
    json["scale"] = {{"zero_mm", plan.scale->zero_mm},
                     {"factor", plan.scale->factor_ratio},
                     {"worst_mm", plan.scale->worst_mm},
                     {"passes", plan.scale->num_passes}};
  }
  if (plan.next) {
    json["next"] = {{"reading_mm", plan.next->position_mm},
                    {"stop_mm", plan.next->stop_mm},
                    {"far_ahead", plan.next->far_ahead}};
  }
  if (plan.ring) {
    json["ring"] = {{"mean_diameter_mm", plan.ring->mean_diameter_mm},
                    {"cut_mm", plan.ring->cut_mm},
                    {"per_stick", plan.pieces ? ordered_json(*plan.pieces) : nullptr}};
  }
  if (plan.ways) {
    json["outer_strain"] = {{"as_given", plan.ways->as_given_ratio},
                            {"turned", plan.ways->turned_ratio},
                            {"as_given_is_hard_way", plan.ways->as_given_is_hard}};
  }
  json["findings"] = ordered_json::array();
  for (const part::Finding& finding : plan.findings) {
    json["findings"].push_back({{"severity", part::word(finding.severity)},
                                {"code", finding.code},
                                {"message", finding.message},
                                {"remedy", finding.remedy},
                                {"source", finding.source}});
  }
  json["notes"] = read.notes;
  return json;
}

// Positions of the roll: finer than lengths, and never in fractions.
base::LengthStyle position_style(const base::LengthStyle& style) {
  base::LengthStyle fine = style;
  fine.form = base::LengthStyle::Form::kDecimal;
  fine.decimals = style.unit == base::LengthUnit::kInch ? 3 : 2;
  return fine;
}

void print_passes(const RollPlan& plan, const base::LengthStyle& style, std::ostream& out) {
  const auto length = [&](double value_mm) { return base::print_length(value_mm, style).text; };
  const base::LengthStyle fine = position_style(style);
  out << fmt::format("{:>6}  {:>10}  {:>10}  {:>12}  {:>26}  {:>9}\n", "pass", "top roll", "scale",
                     "radius", "may be", "top force");
  int number = 0;
  for (const planning::PlannedPass& planned : plan.passes) {
    const mechanics::RollPass& pass = planned.pass;
    out << fmt::format(
        "{:>6}  {:>10}  {:>10}  {:>12}  {:>26}  {:>6.1f} kN\n", ++number,
        base::print_length(pass.position_mm, fine).text,
        planned.reading_mm ? base::print_length(*planned.reading_mm, fine).text : "-",
        length(pass.released_clr_mm),
        length(pass.released_band.low_mm) + " to " + length(pass.released_band.high_mm),
        pass.top_force_n / 1000);
  }
  if (plan.circle_travel_mm) {
    out << fmt::format("a circle's geometry would put the last pass at {}\n",
                       base::print_length(*plan.circle_travel_mm, fine).text);
  }
}

void print_plan(const ReadJob& read, const RollPlan& plan, const base::LengthStyle& style,
                std::ostream& out) {
  const auto length = [&](double value_mm) { return base::print_length(value_mm, style).text; };
  const base::LengthStyle fine = position_style(style);
  out << fmt::format("{} on centreline radius {}\n", read.size, length(plan.centreline_mm));
  out << plan.metal << "\n";
  if (!plan.passes.empty()) print_passes(plan, style, out);
  if (plan.scale && plan.scale->num_passes > 0) {
    out << fmt::format("scale of this machine: {} + {:.3f} x travel, from {} logged\n",
                       base::print_length(plan.scale->zero_mm, fine).text, plan.scale->factor_ratio,
                       plan.scale->num_passes);
  }
  if (plan.next) {
    out << fmt::format("next pass by the last two: {} on the scale; stop at {} and measure\n",
                       base::print_length(plan.next->position_mm, fine).text,
                       base::print_length(plan.next->stop_mm, fine).text);
  }
  if (plan.ring) {
    out << fmt::format("ring: mean diameter {}, cut {}{}\n", length(plan.ring->mean_diameter_mm),
                       length(plan.ring->cut_mm),
                       plan.pieces ? fmt::format(", {} per stick", *plan.pieces) : std::string());
  }
  if (plan.ways) {
    out << fmt::format(
        "outside stretches {:.1f} % this way ({}), {:.1f} % turned\n",
        100 * plan.ways->as_given_ratio,
        plan.ways->as_given_is_hard ? "hard way, like a washer" : "easy way, like a belt",
        100 * plan.ways->turned_ratio);
  }
  for (const part::Finding& finding : plan.findings) {
    out << part::word(finding.severity) << ": " << finding.message;
    if (!finding.remedy.empty()) out << " -> " << finding.remedy;
    out << " [" << finding.code << "]\n";
  }
  for (const std::string& note : read.notes) out << "note: " << note << "\n";
}

int run_roll(const RollArguments& arguments, Terminal& terminal) {
  const Result<ReadJob> read = read_job(arguments);
  if (!read.ok()) return report(terminal, read.failure());
  const Result<RollPlan> plan = planning::plan_roll(read->job);
  if (!plan.ok()) return report(terminal, plan.failure());
  if (arguments.json) {
    terminal.out << plan_json(*read, *plan).dump(2) << "\n";
  } else {
    print_plan(*read, *plan, style_of(arguments.units, base::LengthUnit::kMillimetre),
               terminal.out);
  }
  return part::any_stop(plan->findings) ? kStopped : kDone;
}

}  // namespace

void add_roll(CLI::App& root, Terminal& terminal, Action& action) {
  CLI::App* command = root.add_subcommand(
      "roll", "roll a ring or curve on three rolls: passes, next position, cut length");
  command->footer(
      "Examples:\n"
      "  bight roll 42.4 x 2.6 tube --radius 1500 --spacing 300 --bottom 160 --top 160\n"
      "  bight roll 42.4 x 2.6 tube --radius 1500 --pass 20.0:3200 --pass 24.0:2100\n"
      "  bight roll \"flat 1/4 x 1 in\" --diameter \"15 in\" --measured inside --stick \"20 ft\"\n"
      "  bight roll L 50x50x5 --diameter 1500 --measured inside --toes out\n"
      "A section is rolled in the plane of the first side typed; --turned takes the other.\n"
      "Ends with 2 when a finding says stop.");
  const auto arguments = std::make_shared<RollArguments>();
  RollArguments& a = *arguments;
  add_size_option(*command, a.size);
  command->add_option("--material", a.material, "metal")->capture_default_str();
  CLI::Option* radius = command->add_option("--radius", a.radius, "wanted radius after release");
  CLI::Option* diameter = command->add_option("--diameter", a.diameter, "closed ring of this size");
  radius->excludes(diameter);
  command
      ->add_option("--measured", a.measured,
                   "line that radius, ring and logged radii are measured to")
      ->check(CLI::IsMember({"inside", "centreline", "outside"}));
  command
      ->add_option("--toes", a.toes,
                   "angle or channel: standing leg or flanges in or out of the ring")
      ->check(CLI::IsMember({"in", "out"}))
      ->capture_default_str();
  command->add_flag("--turned", a.turned, "roll it the other way (hard way or easy way)");
  CLI::Option* spacing =
      command->add_option("--spacing", a.spacing, "centre to centre of the bottom rolls");
  CLI::Option* bottom = command->add_option("--bottom", a.bottom, "diameter of the bottom rolls");
  CLI::Option* top = command->add_option("--top", a.top, "diameter of the top roll");
  spacing->needs(bottom)->needs(top);
  bottom->needs(spacing);
  top->needs(spacing);
  command->add_option("--passes", a.passes, "number of passes still to come")
      ->capture_default_str();
  command->add_option("--pass", a.log, "logged pass READING:RADIUS, in order, repeated")
      ->expected(1)
      ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
  command->add_option("--touch", a.touch, "reading when the top roll just touches a straight bar");
  command->add_option("--flats", a.flats, "straight trimmed off a ring, both ends together");
  command->add_option("--stick", a.stick, "length of a stick");
  command->add_option("--kerf", a.kerf, "saw kerf (default 3 mm)");
  command->add_option("--units", a.units, "mm, in, in/16, in/32 or in/64")
      ->check(CLI::IsMember({"mm", "in", "in/16", "in/32", "in/64"}))
      ->capture_default_str();
  command->add_flag("--json", a.json, "print the answer as JSON");
  command->callback([=, &terminal, &action] {
    if (arguments->radius.empty() && arguments->diameter.empty()) {
      throw CLI::RequiredError("--radius or --diameter");
    }
    action = [=, &terminal] { return run_roll(*arguments, terminal); };
  });
}

}  // namespace bight::app

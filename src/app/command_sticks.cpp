#include <fmt/format.h>

#include <memory>

#include "app/commands.h"
#include "app/inputs.h"
#include "exchange/sticks_json.h"
#include "planning/words.h"

namespace bight::app {

namespace {

struct SticksArguments {
  PlanArguments plan;
  std::string stick, kerf;
  int pieces = 0;  // 0: as the part says
  int spare = 0;
  bool json = false;
};

base::Result<double> length_of(const std::string& text, const char* option, double otherwise_mm,
                               base::LengthUnit unit) {
  if (text.empty()) return otherwise_mm;
  base::Result<double> read = base::parse_length_mm(text, {unit, base::DecimalMark::kPoint});
  if (read.ok()) return read;
  base::Failure failure = read.failure();
  failure.where = option;
  return failure;
}

void print_sticks(const planning::SticksRequest& job, const planning::SticksPlan& plan,
                  std::ostream& out) {
  const auto say = [&](double mm) { return planning::say(mm, job.style); };
  const auto count = [](int n) { return n == 1 ? "1 piece" : fmt::format("{} pieces", n); };
  out << count(job.pieces) << (job.spare > 0 ? fmt::format(" and {} spare", job.spare) : "")
      << fmt::format(" of {}, saw cut {}\n", say(job.cut_mm), say(job.kerf_mm));
  for (const planning::StickUse& use : plan.from_rack) {
    if (use.taken == 0) continue;
    const planning::RackSticks& rack = job.rack[use.rack];
    out << fmt::format("from the rack: {} of {} x {}{}, {}\n", use.taken, rack.sticks,
                       say(rack.length_mm), rack.heat.empty() ? "" : ", heat " + rack.heat,
                       count(use.pieces));
  }
  if (plan.to_buy > 0) {
    out << fmt::format("to buy: {} x {}, {} of each, {} left of each\n", plan.to_buy,
                       say(job.stick_mm), count(plan.per_stick), say(plan.rest_mm));
  }
  if (plan.missing == 0) {
    out << fmt::format("left of the last stick: {}\n", say(plan.last_rest_mm));
  }
  for (const part::Finding& finding : plan.findings) {
    out << fmt::format("{}: {} -> {} [{}]\n", part::word(finding.severity), finding.message,
                       finding.remedy, finding.code);
  }
}

base::Result<planning::SticksRequest> request_of(const SticksArguments& arguments,
                                                 const MadePlan& made) {
  BIGHT_TRY(const workshop::Shop shop, load_shop(arguments.plan.shop));
  BIGHT_TRY(planning::SticksRequest job,
            planning::sticks_request(made.plan, shop.stock, made.style));
  if (arguments.pieces > 0) job.pieces = arguments.pieces;
  job.spare = arguments.spare;
  BIGHT_TRY(job.kerf_mm, length_of(arguments.kerf, "--kerf", job.kerf_mm, job.style.unit));
  BIGHT_TRY(job.stick_mm, length_of(arguments.stick, "--stick", job.stick_mm, job.style.unit));
  return job;
}

int run_sticks(const SticksArguments& arguments, Terminal& terminal) {
  const base::Result<MadePlan> made = make_plan(arguments.plan);
  if (!made.ok()) return report(terminal, made.failure());
  const auto job = request_of(arguments, *made);
  if (!job.ok()) return report(terminal, job.failure());
  const base::Result<planning::SticksPlan> plan = planning::plan_sticks(*job);
  if (!plan.ok()) return report(terminal, plan.failure());
  if (arguments.json) {
    terminal.out << exchange::sticks_json(*job, *plan).dump(2) << "\n";
  } else {
    print_sticks(*job, *plan, terminal.out);
  }
  return part::any_stop(plan->findings) ? kStopped : kDone;
}

}  // namespace

void add_sticks(CLI::App& root, Terminal& terminal, Action& action) {
  CLI::App* command =
      root.add_subcommand("sticks", "stock lengths for a job: from the rack, and to buy");
  command->footer(
      "Examples:\n"
      "  bight sticks rail.toml --pieces 24 --spare 2\n"
      "  bight sticks rail.toml --stick \"20 ft\" --kerf 1/8in --units in\n"
      "The rack is stock.toml of the shop folder. Ends with 2 when no stick is long enough.");
  const auto arguments = std::make_shared<SticksArguments>();
  add_plan_options(*command, arguments->plan);
  command
      ->add_option("--pieces", arguments->pieces, "to be delivered (default: the part's quantity)")
      ->check(CLI::Range(1, planning::kMostPieces));
  command->add_option("--spare", arguments->spare, "cut beside them, for trials")
      ->check(CLI::Range(0, planning::kMostPieces));
  command->add_option("--stick", arguments->stick, "length as bought (default 6000 mm or 20 ft)");
  command->add_option("--kerf", arguments->kerf, "what a saw cut takes (default 3 mm)");
  command->add_flag("--json", arguments->json, "print as JSON");
  command->callback([=, &terminal, &action] {
    action = [=, &terminal] { return run_sticks(*arguments, terminal); };
  });
}

}  // namespace bight::app

#include <memory>

#include "app/commands.h"
#include "app/inputs.h"
#include "app/plan_text.h"
#include "exchange/plan_json.h"

namespace bight::app {

namespace {

int run_plan(PlanArguments arguments, bool json, Terminal& terminal) {
  // Programs are told all; people only what helps.
  arguments.changes = true;
  arguments.alternatives = json || arguments.order == "best";
  const base::Result<MadePlan> made = make_plan(arguments);
  if (!made.ok()) return report(terminal, made.failure());
  if (json) {
    terminal.out << exchange::plan_json(made->plan).dump(2) << "\n";
  } else {
    terminal.out << plan_text(made->plan, made->style, terminal.colour);
  }
  return part::any_stop(made->plan.findings) ? kStopped : kDone;
}

}  // namespace

void add_plan(CLI::App& root, Terminal& terminal, Action& action) {
  CLI::App* command = root.add_subcommand(
      "plan", "work out how a part is bent: blank, marks, planes, set angles, findings");
  command->footer(
      "Examples:\n"
      "  bight plan rail.toml\n"
      "  bight plan rail.toml --shop ~/shop --from B --units in/16\n"
      "  bight plan rail.toml --order best\n"
      "  bight plan rail.toml --json | jq .blank.cut_length_mm\n"
      "  bight plan points.csv --radius 50 --size '25 x 1.5' --material '304L annealed'\n"
      "Ends with 0, with 2 when a finding says stop, with 3 when the part cannot be read.");
  const auto arguments = std::make_shared<PlanArguments>();
  const auto json = std::make_shared<bool>(false);
  add_plan_options(*command, *arguments);
  command->add_flag("--json", *json, "print the plan as JSON");
  command->callback([=, &terminal, &action] {
    action = [=, &terminal] { return run_plan(*arguments, *json, terminal); };
  });
}

}  // namespace bight::app

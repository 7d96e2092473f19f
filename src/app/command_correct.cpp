#include <memory>

#include "app/bench_commands.h"
#include "app/bench_inputs.h"
#include "app/bench_text.h"
#include "exchange/bench_json.h"

namespace bight::app {

namespace {

int run_correct(const BenchArguments& arguments, bool json, Terminal& terminal) {
  const base::Result<BenchInput> input = read_bench_input(arguments);
  if (!input.ok()) return report(terminal, input.failure());
  const planning::Plan& plan = input->made.plan;
  const base::Result<planning::BenchCorrection> corrected =
      planning::correct_piece(plan, input->piece.measured);
  if (!corrected.ok()) return report(terminal, corrected.failure());
  if (json) {
    terminal.out << exchange::correction_json(plan, *corrected, input->piece.measured).dump(2)
                 << "\n";
  } else {
    terminal.out << correction_text(plan, *corrected, input->piece, input->made.style,
                                    terminal.colour);
  }
  return part::any_stop(corrected->correction.findings) ? kStopped : kDone;
}

}  // namespace

void add_correct(CLI::App& root, Terminal& terminal, Action& action) {
  CLI::App* command = root.add_subcommand(
      "correct", "from what a piece measured to what is keyed in for the next one");
  command->footer(
      "The piece was keyed in as the plan says unless its file says otherwise (set, fed, turned).\n"
      "Examples:\n"
      "  bight correct rail.toml first-piece.toml\n"
      "  bight correct rail.toml readings.csv --answer units=mm --json\n"
      "  bight correct rail.toml scan.ply\n"
      "Ends with 0, with 2 when a finding says stop, with 3 when an input cannot be read.");
  const auto arguments = std::make_shared<BenchArguments>();
  const auto json = std::make_shared<bool>(false);
  add_bench_options(*command, *arguments);
  command->add_flag("--json", *json, "print the correction as JSON");
  command->callback([=, &terminal, &action] {
    action = [=, &terminal] { return run_correct(*arguments, *json, terminal); };
  });
}

}  // namespace bight::app

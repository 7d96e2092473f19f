#include <memory>

#include "app/commands.h"
#include "app/inputs.h"
#include "papers/sheet.h"

namespace bight::app {

namespace {

struct SheetArguments {
  PlanArguments plan;
  std::string output;
  std::string paper = "a4";
  std::string date;
};

int run_sheet(const SheetArguments& arguments, Terminal& terminal) {
  const base::Result<MadePlan> made = make_plan(arguments.plan);
  if (!made.ok()) return report(terminal, made.failure());
  papers::SheetOptions options;
  options.paper = arguments.paper == "letter" ? papers::Paper::kLetter : papers::Paper::kA4;
  options.length = made->style;
  options.date = arguments.date.empty() ? today() : arguments.date;
  const base::Status written = papers::write_sheet(made->plan, options, arguments.output);
  if (!written.ok()) return report(terminal, written.failure(), kUnwritable);
  terminal.out << arguments.output << "\n";
  return part::any_stop(made->plan.findings) ? kStopped : kDone;
}

}  // namespace

void add_sheet(CLI::App& root, Terminal& terminal, Action& action) {
  CLI::App* command = root.add_subcommand("sheet", "print the set-up sheet of a part as PDF");
  command->footer(
      "Examples:\n"
      "  bight sheet rail.toml -o rail.pdf\n"
      "  bight sheet rail.toml -o rail.pdf --paper letter --units in/16\n"
      "Ends with 2 when the plan holds a stop finding; the sheet is written all the same and says\n"
      "so.");
  const auto arguments = std::make_shared<SheetArguments>();
  add_plan_options(*command, arguments->plan);
  command->add_option("-o,--output", arguments->output, "PDF file to write")->required();
  command->add_option("--paper", arguments->paper, "a4 or letter")
      ->check(CLI::IsMember({"a4", "letter"}))
      ->capture_default_str();
  command->add_option("--date", arguments->date, "date to print (default: today)");
  command->callback([=, &terminal, &action] {
    action = [=, &terminal] { return run_sheet(*arguments, terminal); };
  });
}

}  // namespace bight::app

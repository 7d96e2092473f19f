#include <fmt/format.h>

#include <filesystem>
#include <memory>

#include "app/commands.h"
#include "app/inputs.h"
#include "app/run_files.h"
#include "exchange/keypad_document.h"
#include "papers/keypad_card.h"

namespace bight::app {

namespace {

struct KeypadArguments {
  PlanArguments plan;
  std::string output, keypads, date;
  std::string paper = "a4";
  bool json = false;
};

// The file named, else keypads.toml of the shop folder, else none.
base::Result<std::vector<planning::KeypadProfile>> load_keypads(const KeypadArguments& arguments) {
  std::string path = arguments.keypads;
  if (path.empty() && !arguments.plan.shop.empty()) {
    const std::string in_shop = arguments.plan.shop + "/keypads.toml";
    if (std::filesystem::exists(in_shop)) path = in_shop;
  }
  if (path.empty()) return std::vector<planning::KeypadProfile>();
  BIGHT_TRY(const exchange::Document document, load_document(path));
  return exchange::read_keypads(document);
}

void print_table(const planning::KeypadTable& table, std::ostream& out) {
  const auto line = [&](const std::string& first, const std::vector<std::string>& cells) {
    out << fmt::format("{:>6}", first);
    for (const std::string& cell : cells) out << fmt::format("  {:>12}", cell);
    out << "\n";
  };
  line("step", table.heads);
  for (const planning::KeypadRow& row : table.rows) {
    std::vector<std::string> cells;
    for (const planning::KeypadCell& cell : row.cells) cells.push_back(cell.text);
    line(std::to_string(row.step), cells);
  }
  line("total", table.totals);
  for (const part::Finding& finding : table.findings) {
    out << part::word(finding.severity) << ": " << finding.message;
    if (!finding.remedy.empty()) out << " -> " << finding.remedy;
    out << " [" << finding.code << "]\n";
  }
}

int run_keypad(const KeypadArguments& arguments, Terminal& terminal) {
  const base::Result<MadePlan> made = make_plan(arguments.plan);
  if (!made.ok()) return report(terminal, made.failure());
  const auto profiles = load_keypads(arguments);
  if (!profiles.ok()) return report(terminal, profiles.failure());
  const planning::Plan& plan = made->plan;
  const base::Result<planning::KeypadTable> table =
      planning::keypad_table(plan, plan.bender ? exchange::keypad_for(*profiles, *plan.bender)
                                               : planning::KeypadProfile());
  if (!table.ok()) return report(terminal, table.failure());
  const planning::Checklist list = planning::checklist_of(plan, made->style);
  if (!arguments.output.empty()) {
    papers::SheetOptions options;
    options.paper = arguments.paper == "letter" ? papers::Paper::kLetter : papers::Paper::kA4;
    options.length = made->style;
    options.date = arguments.date.empty() ? today() : arguments.date;
    if (!arguments.output.ends_with(".pdf")) {
      return report(terminal,
                    {"papers.format", arguments.output, "a card of several pages is a PDF",
                     "a name that ends in .pdf"},
                    kUnwritable);
    }
    const auto files = papers::keypad_card_files(plan, *table, list, options, papers::Format::kPdf);
    if (!files.ok()) return report(terminal, files.failure(), kUnwritable);
    const base::Status saved = save_bytes(files->front(), arguments.output);
    if (!saved.ok()) return report(terminal, saved.failure(), kUnwritable);
  }
  if (arguments.json) {
    nlohmann::ordered_json json = exchange::keypad_json(*table);
    json["checklist"] = exchange::checklist_json(list);
    terminal.out << json.dump(2) << "\n";
  } else if (arguments.output.empty()) {
    print_table(*table, terminal.out);
  } else {
    terminal.out << arguments.output << "\n";
  }
  return part::any_stop(plan.findings) || part::any_stop(table->findings) ? kStopped : kDone;
}

}  // namespace

void add_keypad(CLI::App& root, Terminal& terminal, Action& action) {
  CLI::App* command = root.add_subcommand(
      "keypad", "the program as typed into the bender, with a card to tick off");
  command->footer(
      "Examples:\n"
      "  bight keypad rail.toml\n"
      "  bight keypad rail.toml --shop . -o card.pdf\n"
      "What a bender's keypad asks for stands in keypads.toml of the shop folder.\n"
      "Ends with 2 when the plan or the card holds a stop finding.");
  const auto arguments = std::make_shared<KeypadArguments>();
  add_plan_options(*command, arguments->plan);
  command->add_option("-o,--output", arguments->output, "PDF file to write");
  command->add_option("--keypads", arguments->keypads, "file of keypads (default: the shop's)");
  command->add_option("--paper", arguments->paper, "a4 or letter")
      ->check(CLI::IsMember({"a4", "letter"}))
      ->capture_default_str();
  command->add_option("--date", arguments->date, "date to print (default: today)");
  command->add_flag("--json", arguments->json, "print table and checklist as JSON");
  command->callback([=, &terminal, &action] {
    action = [=, &terminal] { return run_keypad(*arguments, terminal); };
  });
}

}  // namespace bight::app

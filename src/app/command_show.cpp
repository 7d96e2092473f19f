#include <memory>

#include "app/commands.h"
#include "app/inputs.h"
#include "app/plan_text.h"
#include "exchange/plan_json.h"
#include "planning/shape_findings.h"

namespace bight::app {

namespace {

struct ShowArguments {
  std::string part;
  std::string units;
  bool json = false;
  bool reverse = false;
  bool mirror = false;
};

int run_show(const ShowArguments& arguments, Terminal& terminal) {
  base::Result<exchange::PartFile> file = exchange::read_part_file(arguments.part);
  if (!file.ok()) return report(terminal, file.failure());
  part::Part part = file->part;
  if (arguments.mirror) part = part::mirrored(part);
  if (arguments.reverse) {
    part.table = part.table.reversed();
    part.start = geometry::Frame();
    std::swap(part.end_a, part.end_b);
  }
  const base::LengthStyle style = style_of(arguments.units, file->unit);
  std::vector<part::Finding> findings = part.findings;
  for (part::Finding& f : planning::drawing_findings(part, style)) findings.push_back(std::move(f));
  part::sort_by_weight(findings);
  if (arguments.json) {
    nlohmann::ordered_json json = {{"schema", 1}, {"part", exchange::part_json(part)}};
    json["findings"] = nlohmann::ordered_json::array();
    for (const part::Finding& f : findings) json["findings"].push_back(exchange::finding_json(f));
    terminal.out << json.dump(2) << "\n";
  } else {
    terminal.out << part_text(part, style) << findings_text(findings, terminal.colour);
  }
  return part::any_stop(findings) ? kStopped : kDone;
}

}  // namespace

void add_show(CLI::App& root, Terminal& terminal, Action& action) {
  CLI::App* command =
      root.add_subcommand("show", "show a part: bend table, corners, developed length");
  command->footer(
      "Examples:\n"
      "  bight show rail.toml\n"
      "  bight show rail.toml --reverse --units in/16\n"
      "  bight show rail.toml --json");
  const auto arguments = std::make_shared<ShowArguments>();
  command->add_option("PART", arguments->part, "part file")->required();
  command->add_option("--units", arguments->units, "mm, in, in/16, in/32 or in/64")
      ->check(CLI::IsMember({"mm", "in", "in/16", "in/32", "in/64"}));
  command->add_flag("--json", arguments->json, "print the part as JSON");
  command->add_flag("--reverse", arguments->reverse, "describe it from end B");
  command->add_flag("--mirror", arguments->mirror, "show the part of the other hand");
  command->callback([=, &terminal, &action] {
    action = [=, &terminal] { return run_show(*arguments, terminal); };
  });
}

}  // namespace bight::app

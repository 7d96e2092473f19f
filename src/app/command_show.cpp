#include <memory>

#include "app/commands.h"
#include "app/inputs.h"
#include "app/plan_text.h"
#include "exchange/plan_json.h"
#include "exchange/table_json.h"
#include "planning/shape_findings.h"

namespace bight::app {

namespace {

struct ShowArguments {
  InputArguments input;
  std::string units;
  bool json = false;
  bool reverse = false;
  bool mirror = false;
};

nlohmann::ordered_json findings_json(const std::vector<part::Finding>& findings) {
  nlohmann::ordered_json json = nlohmann::ordered_json::array();
  for (const part::Finding& f : findings) json.push_back(exchange::finding_json(f));
  return json;
}

int show_part(part::Part part, base::LengthUnit unit, const ShowArguments& arguments,
              Terminal& terminal) {
  if (arguments.mirror) part = part::mirrored(part);
  if (arguments.reverse) {
    part.table = part.table.reversed();
    part.start = geometry::Frame();
    std::swap(part.end_a, part.end_b);
  }
  const base::LengthStyle style = style_of(arguments.units, unit);
  std::vector<part::Finding> findings = part.findings;
  for (part::Finding& f : planning::drawing_findings(part, style)) findings.push_back(std::move(f));
  part::sort_by_weight(findings);
  if (arguments.json) {
    nlohmann::ordered_json json = {{"schema", 1}, {"part", exchange::part_json(part)}};
    json["findings"] = findings_json(findings);
    terminal.out << json.dump(2) << "\n";
  } else {
    terminal.out << part_text(part, style) << findings_text(findings, terminal.colour);
  }
  return part::any_stop(findings) ? kStopped : kDone;
}

// A centreline whose tube nobody has named yet.
int show_line(exchange::Line line, const exchange::AnyPart& any, const ShowArguments& arguments,
              Terminal& terminal) {
  if (arguments.mirror) line.table = line.table.mirrored();
  if (arguments.reverse) {
    line.table = line.table.reversed();
    line.start = geometry::Frame();
  }
  if (arguments.json) {
    nlohmann::ordered_json json = {{"schema", 1}, {"line", exchange::bends_json(line, any.name)}};
    json["findings"] = findings_json(line.findings);
    terminal.out << json.dump(2) << "\n";
  } else {
    terminal.out << any.name << "\n"
                 << (any.size ? "  tube      " + any.size->text + "\n" : "")
                 << line_text(line.table, line.start, style_of(arguments.units, any.unit))
                 << findings_text(line.findings, terminal.colour);
  }
  return part::any_stop(line.findings) ? kStopped : kDone;
}

int run_show(const ShowArguments& arguments, Terminal& terminal) {
  base::Result<exchange::KnownMetals> metals = metals_of_shop("");
  if (!metals.ok()) return report(terminal, metals.failure());
  const base::Result<exchange::AnyPart> any =
      read_input(arguments.input, std::move(metals).value());
  if (!any.ok()) return report(terminal, any.failure());
  if (!any->questions.empty()) return report(terminal, as_failure(any->questions));
  return any->part ? show_part(*any->part, any->unit, arguments, terminal)
                   : show_line(*any->line, *any, arguments, terminal);
}

}  // namespace

void add_show(CLI::App& root, Terminal& terminal, Action& action) {
  CLI::App* command =
      root.add_subcommand("show", "show a part: bend table, corners, developed length");
  command->footer(
      "Examples:\n"
      "  bight show rail.toml\n"
      "  bight show rail.toml --reverse --units in/16\n"
      "  bight show rail.toml --json\n"
      "  bight show points.csv --radius 50 --answer units=mm\n"
      "  bight show rail.dxf --size '25 x 1.5' --material '304L annealed'");
  const auto arguments = std::make_shared<ShowArguments>();
  add_input_options(*command, arguments->input, "FILE");
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

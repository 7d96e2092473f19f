#include <fmt/format.h>

#include <memory>
#include <nlohmann/json.hpp>

#include "app/commands.h"
#include "app/inputs.h"
#include "stock/catalogue.h"
#include "stock/metals.h"

namespace bight::app {

namespace {

using nlohmann::ordered_json;
using stock::Section;
using stock::StockAnswer;
using stock::StockNote;

struct StockArguments {
  std::vector<std::string> query;
  std::string material;  // empty: a usual one for the kind of stock
  std::string units = "mm";
  bool json = false;
};

ordered_json number_json(const stock::Sourced& number) {
  return {{"value", number.value},
          {"provenance", stock::words(number.provenance)},
          {"source", number.source}};
}

ordered_json notes_json(const std::vector<StockNote>& notes) {
  ordered_json out = ordered_json::array();
  for (const StockNote& note : notes) {
    out.push_back({{"warning", note.kind == StockNote::Kind::kWarning}, {"text", note.text}});
  }
  return out;
}

ordered_json optional_json(const std::optional<double>& value) {
  return value ? ordered_json(*value) : ordered_json(nullptr);
}

ordered_json answer_json(const StockAnswer& answer, const stock::Material& metal) {
  const Section& s = answer.size.section;
  ordered_json tolerances = ordered_json::array();
  for (const stock::SizeTolerance& t : answer.tolerances) {
    tolerances.push_back({{"standard", t.standard},
                          {"od_minus_mm", optional_json(t.od_minus_mm)},
                          {"od_plus_mm", optional_json(t.od_plus_mm)},
                          {"wall_minus_mm", optional_json(t.wall_minus_mm)},
                          {"wall_plus_mm", optional_json(t.wall_plus_mm)},
                          {"provenance", stock::words(t.provenance)},
                          {"source", t.source}});
  }
  return {{"designation", answer.size.designation},
          {"standard", answer.size.standard},
          {"listed", answer.listed},
          {"od_mm", s.round() ? ordered_json(s.height_mm()) : ordered_json(nullptr)},
          {"height_mm", s.height_mm()},
          {"width_mm", s.width_mm()},
          {"wall_mm", s.hollow() ? ordered_json(s.wall_mm()) : ordered_json(nullptr)},
          {"corner_radius_mm", s.corner_radius_mm()},
          {"outside", number_json(answer.size.outside_mm)},
          {"wall", number_json(answer.size.wall_mm)},
          {"mass_kg_per_m", s.mass_kg_per_m(metal.density_kg_per_m3)},
          {"material", metal.name},
          {"tolerances", tolerances},
          {"notes", notes_json(answer.notes)}};
}

std::string inches(double length_mm) { return fmt::format("{:.4g} in", length_mm / 25.4); }

void print_answer(const StockAnswer& answer, const stock::Material& metal, std::ostream& out) {
  const Section& s = answer.size.section;
  out << answer.size.designation;
  if (!answer.size.standard.empty()) out << "  (" << answer.size.standard << ")";
  if (!answer.listed) out << "  (not a listed size)";
  out << "\n";
  if (s.round()) {
    out << fmt::format("  outside   {:.5g} mm = {}\n", s.height_mm(), inches(s.height_mm()));
  } else {
    out << fmt::format("  outside   {:.5g} x {:.5g} mm\n", s.height_mm(), s.width_mm());
  }
  if (s.hollow()) {
    out << fmt::format("  wall      {:.4g} mm = {}\n", s.wall_mm(), inches(s.wall_mm()));
  }
  if (s.corner_radius_mm() > 0.0) {
    out << fmt::format("  corner    {:.3g} mm outside\n", s.corner_radius_mm());
  }
  out << fmt::format("  mass      {:.3f} kg/m in {}\n", s.mass_kg_per_m(metal.density_kg_per_m3),
                     metal.name);
  out << fmt::format("  source    {}; {}\n", answer.size.outside_mm.source,
                     stock::words(answer.size.outside_mm.provenance));
  for (const stock::SizeTolerance& t : answer.tolerances) {
    out << fmt::format("  delivered outside {}/{} wall {}/{} mm by {} ({})\n",
                       t.od_minus_mm ? fmt::format("-{:.3g}", *t.od_minus_mm) : "?",
                       t.od_plus_mm ? fmt::format("+{:.3g}", *t.od_plus_mm) : "?",
                       t.wall_minus_mm ? fmt::format("-{:.3g}", *t.wall_minus_mm) : "?",
                       t.wall_plus_mm ? fmt::format("+{:.3g}", *t.wall_plus_mm) : "?", t.standard,
                       stock::words(t.provenance));
  }
  for (const StockNote& note : answer.notes) out << "  note      " << note.text << "\n";
}

// More answers than this are listed a line each.
constexpr std::size_t kMostInFull = 3;

std::string one_line(const StockAnswer& answer, const stock::Material& metal) {
  return fmt::format("  {:<40} {:>18} mm {:>9.3f} kg/m  {}\n", answer.size.designation,
                     answer.size.section.text(),
                     answer.size.section.mass_kg_per_m(metal.density_kg_per_m3),
                     stock::words(answer.size.outside_mm.provenance));
}

// The metal that the mass is given for when none was asked.
std::string usual_metal(const stock::StockSearch& search) {
  for (const StockAnswer& answer : search.matches) {
    const bool copper = answer.size.family == stock::SizeFamily::kCopperInch ||
                        answer.size.family == stock::SizeFamily::kCopperMetric;
    if (!copper) return "S235JRH";
  }
  return search.matches.empty() ? "S235JRH" : "Cu-DHP R220";
}

int run_stock(const StockArguments& arguments, Terminal& terminal) {
  std::string query;
  for (const std::string& word : arguments.query) query += (query.empty() ? "" : " ") + word;
  const base::Result<stock::SizeTables> tables = stock::SizeTables::built_in();
  if (!tables.ok()) return report(terminal, tables.failure());
  const base::Result<exchange::KnownMetals> metals = metals_of_shop("");
  if (!metals.ok()) return report(terminal, metals.failure());
  base::LengthRules rules;
  if (arguments.units == "in") rules.default_unit = base::LengthUnit::kInch;
  const base::Result<stock::StockSearch> search = stock::find_stock(*tables, query, rules);
  if (!search.ok()) return report(terminal, search.failure());
  const base::Result<stock::MetalAnswer> metal = stock::find_metal(
      **metals, arguments.material.empty() ? usual_metal(*search) : arguments.material);
  if (!metal.ok()) return report(terminal, metal.failure());
  const stock::Material& material = metal->metal.material;
  if (arguments.json) {
    ordered_json json = {{"schema", 1}, {"query", query}, {"read_as", search->reading}};
    json["notes"] = notes_json(search->notes);
    json["matches"] = ordered_json::array();
    for (const StockAnswer& a : search->matches)
      json["matches"].push_back(answer_json(a, material));
    json["near"] = ordered_json::array();
    for (const StockAnswer& a : search->near) json["near"].push_back(answer_json(a, material));
    terminal.out << json.dump(2) << "\n";
  } else {
    if (!search->reading.empty()) terminal.out << "read as: " << search->reading << "\n";
    for (const StockNote& note : search->notes) terminal.out << "note: " << note.text << "\n";
    const bool in_full = search->matches.size() <= kMostInFull;
    if (!in_full) terminal.out << fmt::format("{} sizes fit:\n", search->matches.size());
    for (const StockAnswer& a : search->matches) {
      if (in_full) {
        print_answer(a, material, terminal.out);
      } else {
        terminal.out << one_line(a, material);
      }
    }
    if (!search->near.empty()) terminal.out << "near misses:\n";
    for (const StockAnswer& a : search->near) {
      terminal.out << "  " << a.size.designation << ": " << a.size.section.text() << " mm\n";
    }
  }
  return search->matches.empty() ? kUnreadable : kDone;
}

}  // namespace

void add_stock(CLI::App& root, Terminal& terminal, Action& action) {
  CLI::App* command =
      root.add_subcommand("stock", "find the real size behind a designation of tube, pipe or bar");
  command->footer(
      "Examples:\n"
      "  bight stock \"1-1/2 sch 40 pipe\"\n"
      "  bight stock 38.1 x 16 BWG\n"
      "  bight stock \"22x1 copper\" --material \"copper R250\" --json\n"
      "Ends with 3 when nothing fits.");
  const auto arguments = std::make_shared<StockArguments>();
  command->add_option("QUERY", arguments->query, "designation")->required();
  command->add_option("--material", arguments->material,
                      "metal for the mass (default: a usual one for the stock)");
  command->add_option("--units", arguments->units, "unit of bare numbers: mm or in")
      ->check(CLI::IsMember({"mm", "in"}))
      ->capture_default_str();
  command->add_flag("--json", arguments->json, "print the answer as JSON");
  command->callback([=, &terminal, &action] {
    action = [=, &terminal] { return run_stock(*arguments, terminal); };
  });
}

}  // namespace bight::app

#include "mechanics/tooling_need.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <utility>

#include "base/positive.h"
#include "stock/table.h"

namespace bight::mechanics {
using base::positive;

namespace {

constexpr std::array<std::pair<ToolNeed, std::string_view>, 5> kWords{
    {{ToolNeed::kNone, "none"},
     {ToolNeed::kMandrel, "mandrel"},
     {ToolNeed::kPlug, "plug"},
     {ToolNeed::kBalls, "balls"},
     {ToolNeed::kWiper, "wiper"}}};

}  // namespace

std::string_view word(ToolNeed need) {
  for (const auto& [value, text] : kWords) {
    if (value == need) return text;
  }
  return "none";
}

base::Result<ToolingTable> ToolingTable::built_in() {
  BIGHT_TRY(const base::CsvTable table, stock::built_in_table("tooling_table.csv"));
  return read(table);
}

base::Status ToolingTable::add(std::vector<Rule>& rules, const base::CsvTable& table,
                               std::size_t row) {
  stock::TableRow cells(table, row);
  Rule rule;
  rule.name = cells.text("rule");
  rule.family = cells.text("family");
  const auto d_of_bend = cells.optional_positive("d_of_bend");
  const auto wall_factor = cells.optional_positive("wall_factor_most");
  const std::string need = cells.text("need");
  rule.advice = cells.text("advice");
  rule.source = cells.text("source");
  rule.provenance = cells.mark("mark");
  bool known = false;
  for (const auto& [value, text] : kWords) {
    if (text == need) {
      rule.need = value;
      known = true;
    }
  }
  if (!known) {
    cells.refuse("need", fmt::format("\"{}\" is no need", need),
                 "none, mandrel, plug, balls or wiper");
  }
  if (d_of_bend && !wall_factor) {
    cells.refuse("wall_factor_most", "a D of bend without a wall factor", "a wall factor");
  }
  BIGHT_TRY([[maybe_unused]] const auto read, cells.status());
  if (rules.empty() || rules.back().name != rule.name) {
    rules.push_back(std::move(rule));
  } else if (!d_of_bend || rules.back().anchors.empty() || rules.back().need != rule.need ||
             rules.back().family != rule.family ||
             rules.back().anchors.back().d_of_bend_ratio >= *d_of_bend) {
    cells.refuse("d_of_bend", "rows of one rule must agree and rise in D of bend",
                 "one row per D of bend, tightest first, or another name");
    return cells.status();
  }
  if (d_of_bend) {
    rules.back().anchors.push_back({*d_of_bend, *wall_factor});
  } else {
    rules.back().wall_factor_ratio = wall_factor;
  }
  return base::Done{};
}

base::Result<ToolingTable> ToolingTable::read(const base::CsvTable& table) {
  ToolingTable result;
  for (std::size_t row = 0; row < table.num_rows(); ++row) {
    BIGHT_TRY([[maybe_unused]] const auto added, add(result.rules_, table, row));
  }
  return result;
}

ToolAdvice ToolingTable::judged(const Rule& rule, const ToolingFacts& facts) {
  ToolAdvice advice;
  advice.rule = rule.name;
  advice.source = rule.source;
  advice.provenance = rule.provenance;
  const double k = facts.d_of_bend_ratio;
  if (!rule.anchors.empty()) {
    const Anchor& first = rule.anchors.front();
    const Anchor& last = rule.anchors.back();
    if (k < first.d_of_bend_ratio || k > last.d_of_bend_ratio) {
      const Anchor& nearest = k < first.d_of_bend_ratio ? first : last;
      advice.between_anchors = false;
      advice.limit_ratio = nearest.wall_factor_ratio / nearest.d_of_bend_ratio * k;
    } else {
      std::size_t upper = 0;
      while (rule.anchors[upper].d_of_bend_ratio < k) ++upper;
      const Anchor& b = rule.anchors[upper];
      const Anchor& a = rule.anchors[upper == 0 ? 0 : upper - 1];
      const double span = b.d_of_bend_ratio - a.d_of_bend_ratio;
      const double share = span > 0 ? (k - a.d_of_bend_ratio) / span : 1.0;
      advice.limit_ratio =
          a.wall_factor_ratio + share * (b.wall_factor_ratio - a.wall_factor_ratio);
    }
  } else {
    advice.limit_ratio = rule.wall_factor_ratio;
  }
  if (!advice.limit_ratio) {
    advice.need = rule.need;
    advice.message = rule.advice;
    return advice;
  }
  advice.exceeded = facts.wall_factor_ratio > *advice.limit_ratio;
  if (advice.exceeded) advice.need = rule.need;
  advice.message = fmt::format(
      "wall factor {:.1f} at {:.2f} D is {} {:.1f}{}{}", facts.wall_factor_ratio, k,
      advice.exceeded ? "above" : "within", *advice.limit_ratio,
      advice.between_anchors ? "" : " (carried on beyond the published radii)",
      advice.exceeded ? ": " + rule.advice : std::string(": nothing asked for by this rule"));
  if (rule.provenance == stock::Provenance::kUnconfirmed) {
    advice.message = "unconfirmed: " + advice.message;
  }
  return advice;
}

base::Result<std::vector<ToolAdvice>> ToolingTable::advise(const ToolingFacts& facts) const {
  if (!positive(facts.wall_factor_ratio) || !positive(facts.d_of_bend_ratio)) {
    return base::Failure{"tooling.facts", "",
                         fmt::format("wall factor {} at {} D is no bend", facts.wall_factor_ratio,
                                     facts.d_of_bend_ratio),
                         "give diameter over wall and radius over diameter"};
  }
  std::vector<ToolAdvice> all;
  for (const Rule& rule : rules_) {
    if (rule.family.empty() || rule.family == facts.family) all.push_back(judged(rule, facts));
  }
  return all;
}

}  // namespace bight::mechanics

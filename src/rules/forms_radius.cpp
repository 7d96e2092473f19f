// Rules about the radius itself, and the tables some bodies give for it.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "rules/forms.h"
#include "stock/table.h"

namespace bight::rules {
namespace {

using base::Result;

constexpr double kInch_mm = 25.4;
// A size named in inches and one computed in millimetres are the same size within this.
constexpr double kSameSize_mm = 0.05;

bool same_size(double a_mm, double b_mm) { return std::abs(a_mm - b_mm) <= kSameSize_mm; }

Evaluation radius_at_least(double clr_mm, double limit_mm, stock::Provenance provenance) {
  Evaluation result;
  result.subject = "centreline radius";
  result.value = clr_mm;
  result.limit = limit_mm;
  result.at_least = true;
  result.provenance = provenance;
  return result;
}

Evaluation no_such_size(std::string what) {
  return outside_range("centreline radius", fmt::format("the table has no {}", what));
}

}  // namespace

Result<Evaluation> radius_over_od(const Rule& rule, const BendFacts& facts) {
  Evaluation result;
  result.subject = "centreline radius over diameter";
  BIGHT_TRY(const double clr_mm, positive_fact(facts.clr_mm, "centreline radius"));
  BIGHT_TRY(const double od_mm, positive_fact(facts.od_mm, "outside diameter"));
  if (!rule.rows.front().variant.empty()) {
    BIGHT_TRY([[maybe_unused]] const auto named, text_fact(facts.metal_family, "metal family"));
  }
  // The rows' range is the outside diameter.
  const RuleRow* row = row_at(rule, facts.metal_family, od_mm);
  if (row == nullptr) {
    return outside_range(
        result.subject,
        fmt::format("the rule does not speak about {} of {:.1f} mm",
                    facts.metal_family.empty() ? "tube" : facts.metal_family, od_mm));
  }
  result.value = clr_mm / od_mm;
  result.limit = row->limit.value_or(0.0);
  result.at_least = true;
  result.provenance = row->provenance;
  return result;
}

Result<Evaluation> radius_by_wall(const Rule& rule, const BendFacts& facts) {
  // Anchors of D/t against R/D, straight lines between.
  Evaluation result;
  BIGHT_TRY(const double clr_mm, positive_fact(facts.clr_mm, "centreline radius"));
  BIGHT_TRY(const double od_mm, positive_fact(facts.od_mm, "outside diameter"));
  BIGHT_TRY(const double wall_mm, positive_fact(facts.wall_mm, "wall"));
  const double wall_factor_ratio = od_mm / wall_mm;
  result.subject =
      fmt::format("centreline radius over diameter (wall factor {:.1f})", wall_factor_ratio);
  const RuleRow& first = rule.rows.front();
  const RuleRow& last = rule.rows.back();
  // Rounding of D/t must not push a corner out of its own table.
  if (wall_factor_ratio < *first.from * (1 - 1e-12) ||
      wall_factor_ratio > *last.from * (1 + 1e-12)) {
    return outside_range(
        result.subject,
        fmt::format("the lines run from wall factor {:.0f} to {:.0f}", *first.from, *last.from));
  }
  result.value = clr_mm / od_mm;
  result.at_least = true;
  result.limit = *last.limit;
  result.provenance = last.provenance;
  for (std::size_t i = 1; i < rule.rows.size(); ++i) {
    const RuleRow& low = rule.rows[i - 1];
    const RuleRow& high = rule.rows[i];
    if (wall_factor_ratio > *high.from) continue;
    const double share =
        std::clamp((wall_factor_ratio - *low.from) / (*high.from - *low.from), 0.0, 1.0);
    result.limit = *low.limit + share * (*high.limit - *low.limit);
    break;
  }
  return result;
}

Result<Evaluation> radius_en1090(const Rule& rule, const BendFacts& facts) {
  // R >= max(1.5 D, D + 100 mm).
  constexpr double kAdded_mm = 100.0;
  BIGHT_TRY(const double clr_mm, positive_fact(facts.clr_mm, "centreline radius"));
  BIGHT_TRY(const double od_mm, positive_fact(facts.od_mm, "outside diameter"));
  return radius_at_least(clr_mm,
                         std::max(rule.rows.front().limit.value_or(0.0) * od_mm, od_mm + kAdded_mm),
                         rule.rows.front().provenance);
}

Result<Evaluation> radius_error(const Rule& rule, const BendFacts& facts) {
  Evaluation result;
  result.subject = "radius off the drawing";
  BIGHT_TRY(const double clr_mm, positive_fact(facts.clr_mm, "centreline radius"));
  BIGHT_TRY(const double error_mm, finite_fact(facts.radius_error_mm, "radius error"));
  const RuleRow* row = row_at(rule, "", clr_mm);
  if (row == nullptr) return outside_range(result.subject, "no row for this radius");
  result.value = std::abs(error_mm);
  result.limit = row->limit.value_or(0.0);
  result.provenance = row->provenance;
  return result;
}

Result<Evaluation> copper_metric_radius(const Rule&, const BendFacts& facts) {
  BIGHT_TRY(const double clr_mm, positive_fact(facts.clr_mm, "centreline radius"));
  BIGHT_TRY(const double od_mm, positive_fact(facts.od_mm, "outside diameter"));
  BIGHT_TRY(const base::CsvTable table, stock::built_in_table("copper_bend_radii.csv"));
  for (std::size_t i = 0; i < table.num_rows(); ++i) {
    stock::TableRow row(table, i);
    const double size_mm = row.positive("od_mm");
    const double radius_mm = row.positive("radius_mm");
    const auto provenance = row.mark("mark", stock::NumberKind::kMinimum);
    BIGHT_TRY([[maybe_unused]] const auto read, row.status());
    if (same_size(size_mm, od_mm)) return radius_at_least(clr_mm, radius_mm, provenance);
  }
  return no_such_size(fmt::format("copper tube of {} mm", od_mm));
}

Result<Evaluation> copper_inch_radius(const Rule&, const BendFacts& facts) {
  BIGHT_TRY(const double clr_mm, positive_fact(facts.clr_mm, "centreline radius"));
  BIGHT_TRY(const double nominal_in, positive_fact(facts.copper_nominal_in, "nominal copper size"));
  BIGHT_TRY(const std::string temper, text_fact(facts.copper_temper, "copper temper"));
  if (facts.copper_type == '\0') {
    BIGHT_TRY([[maybe_unused]] const auto type, text_fact("", "copper type"));
  }
  BIGHT_TRY(const base::CsvTable table, stock::built_in_table("copper_inch_radii.csv"));
  for (std::size_t i = 0; i < table.num_rows(); ++i) {
    stock::TableRow row(table, i);
    const double size_in = row.positive("nominal_in");
    const std::string types = row.text("types");
    const bool temper_fits = row.text("temper") == temper;
    const double radius_in = row.positive("radius_in");
    const auto provenance = row.mark("mark", stock::NumberKind::kMinimum);
    BIGHT_TRY([[maybe_unused]] const auto read, row.status());
    if (temper_fits && types.find(facts.copper_type) != std::string::npos &&
        same_size(size_in * kInch_mm, nominal_in * kInch_mm)) {
      return radius_at_least(clr_mm, radius_in * kInch_mm, provenance);
    }
  }
  return no_such_size(
      fmt::format("{} copper of {} in type {}", temper, nominal_in, facts.copper_type));
}

Result<Evaluation> conduit_radius(const Rule&, const BendFacts& facts) {
  BIGHT_TRY(const double clr_mm, positive_fact(facts.clr_mm, "centreline radius"));
  BIGHT_TRY(const std::string size, text_fact(facts.conduit_trade_size, "conduit trade size"));
  BIGHT_TRY(const bool one_shot, yes_fact(facts.one_shot, "bender (one-shot or full-shoe?)"));
  BIGHT_TRY(const base::CsvTable table, stock::built_in_table("conduit_radii.csv"));
  for (std::size_t i = 0; i < table.num_rows(); ++i) {
    stock::TableRow row(table, i);
    if (row.text("trade_size") != size) continue;
    const double radius_in = row.positive(one_shot ? "one_shot_in" : "other_in");
    const auto provenance =
        row.mark(one_shot ? "one_shot_mark" : "other_mark", stock::NumberKind::kMinimum);
    BIGHT_TRY([[maybe_unused]] const auto read, row.status());
    return radius_at_least(clr_mm, radius_in * kInch_mm, provenance);
  }
  return no_such_size(fmt::format("conduit of trade size {}", size));
}

Result<Evaluation> aircraft_radius(const Rule&, const BendFacts& facts) {
  BIGHT_TRY(const double clr_mm, positive_fact(facts.clr_mm, "centreline radius"));
  BIGHT_TRY(const double od_mm, positive_fact(facts.od_mm, "outside diameter"));
  BIGHT_TRY(const std::string family, text_fact(facts.metal_family, "metal family"));
  const bool aluminium = family == "aluminium";
  BIGHT_TRY(const base::CsvTable table, stock::built_in_table("aircraft_line_radii.csv"));
  for (std::size_t i = 0; i < table.num_rows(); ++i) {
    stock::TableRow row(table, i);
    const double size_in = row.positive("od_in");
    const auto radius_in =
        row.optional_positive(aluminium ? "aluminium_radius_in" : "steel_radius_in");
    const auto provenance = row.mark("mark", stock::NumberKind::kMinimum);
    BIGHT_TRY([[maybe_unused]] const auto read, row.status());
    if (same_size(size_in * kInch_mm, od_mm) && radius_in) {
      return radius_at_least(clr_mm, *radius_in * kInch_mm, provenance);
    }
  }
  return no_such_size(fmt::format("{} line of {} mm", family, od_mm));
}

}  // namespace bight::rules

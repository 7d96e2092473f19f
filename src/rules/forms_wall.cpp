// Rules about the wall: what to order, what must be left.
#include <fmt/format.h>

#include "rules/forms.h"
#include "rules/pressure_wall.h"

namespace bight::rules {

using base::Result;

Result<Evaluation> wall_before(const Rule& rule, const BendFacts& facts) {
  // Factor on the wall required of straight pipe, straight lines between the rows, level beyond the
  // last; the note to the table permits interpolation.
  Evaluation result;
  result.subject = "wall before bending";
  BIGHT_TRY(const double d_of_bend_ratio, d_of_bend_fact(facts));
  BIGHT_TRY(const double required_mm, positive_fact(facts.required_wall_mm, "required wall"));
  BIGHT_TRY(const double wall_mm, positive_fact(facts.wall_before_mm, "least wall before bending"));
  const RuleRow* below = nullptr;
  const RuleRow* above = nullptr;
  for (const RuleRow& row : rule.rows) {
    if (*row.from <= d_of_bend_ratio) below = &row;
    if (*row.from >= d_of_bend_ratio && above == nullptr) above = &row;
  }
  if (below == nullptr) {
    return outside_range(result.subject,
                         fmt::format("the table begins at {:.0f} D, this bend is {:.2f} D",
                                     *rule.rows.front().from, d_of_bend_ratio));
  }
  double factor_ratio = *below->limit;
  if (above != nullptr && above != below) {
    const double share = (d_of_bend_ratio - *below->from) / (*above->from - *below->from);
    factor_ratio += share * (*above->limit - *below->limit);
  }
  result.subject = fmt::format("wall before bending (factor {:.3f})", factor_ratio);
  result.value = wall_mm;
  result.limit = factor_ratio * required_mm;
  result.at_least = true;
  result.provenance = below->provenance;
  return result;
}

Result<Evaluation> wall_after_share(const Rule& rule, const BendFacts& facts) {
  Evaluation result;
  result.subject = "wall left over nominal wall";
  BIGHT_TRY(const double d_of_bend_ratio, d_of_bend_fact(facts));
  BIGHT_TRY(const double wall_mm, positive_fact(facts.wall_mm, "wall"));
  BIGHT_TRY(const double after_mm, positive_fact(facts.wall_after_mm, "least wall after bending"));
  const RuleRow* row = row_at(rule, "", d_of_bend_ratio);
  if (row == nullptr) return outside_range(result.subject, "no row for this radius");
  result.value = after_mm / wall_mm;
  result.limit = row->limit.value_or(0.0);
  result.at_least = true;
  result.provenance = row->provenance;
  return result;
}

Result<Evaluation> wall_loss(const Rule& rule, const BendFacts& facts) {
  Evaluation result;
  result.subject = "wall lost over nominal wall";
  BIGHT_TRY(const double d_of_bend_ratio, d_of_bend_fact(facts));
  BIGHT_TRY(const double wall_mm, positive_fact(facts.wall_mm, "wall"));
  BIGHT_TRY(const double after_mm, positive_fact(facts.wall_after_mm, "least wall after bending"));
  const RuleRow* row = row_at(rule, "", d_of_bend_ratio);
  if (row == nullptr) {
    return outside_range(result.subject,
                         fmt::format("a bend of {:.2f} D is not in the rule", d_of_bend_ratio));
  }
  result.value = 1 - after_mm / wall_mm;
  result.limit = row->limit.value_or(0.0);
  result.provenance = row->provenance;
  return result;
}

Result<Evaluation> tema_wall(const Rule& rule, const BendFacts& facts) {
  // t0 = t1 (1 + do / (4 R)).
  Evaluation result;
  BIGHT_TRY(const double clr_mm, positive_fact(facts.clr_mm, "centreline radius"));
  BIGHT_TRY(const double od_mm, positive_fact(facts.od_mm, "outside diameter"));
  BIGHT_TRY(const double required_mm, positive_fact(facts.required_wall_mm, "required wall"));
  BIGHT_TRY(const double wall_mm, positive_fact(facts.wall_before_mm, "least wall before bending"));
  result.subject = "wall before bending";
  result.value = wall_mm;
  result.limit = required_mm * (1 + od_mm / (4 * clr_mm));
  result.at_least = true;
  result.provenance = rule.rows.front().provenance;
  return result;
}

Result<Evaluation> iacs_allowance(const Rule& rule, const BendFacts& facts) {
  // t = t0 + b + c with b = 0.4 (D / R) t0; c is the corrosion allowance.
  Evaluation result;
  BIGHT_TRY(const double clr_mm, positive_fact(facts.clr_mm, "centreline radius"));
  BIGHT_TRY(const double od_mm, positive_fact(facts.od_mm, "outside diameter"));
  BIGHT_TRY(const double required_mm, positive_fact(facts.required_wall_mm, "required wall"));
  BIGHT_TRY(const double wall_mm, positive_fact(facts.wall_before_mm, "least wall before bending"));
  const double allowance_mm = rule.rows.front().limit.value_or(0.0) * od_mm / clr_mm * required_mm;
  result.subject = fmt::format("wall (bending allowance {:.2f} mm)", allowance_mm);
  result.value = wall_mm;
  result.limit = required_mm + allowance_mm + facts.allowance_mm;
  result.at_least = true;
  result.provenance = rule.rows.front().provenance;
  return result;
}

Result<Evaluation> pressure_wall(const Rule& rule, const BendFacts& facts) {
  Evaluation result;
  BIGHT_TRY(const double clr_mm, positive_fact(facts.clr_mm, "centreline radius"));
  BIGHT_TRY(const double od_mm, positive_fact(facts.od_mm, "outside diameter"));
  BIGHT_TRY(const double after_mm, positive_fact(facts.wall_after_mm, "least wall after bending"));
  BIGHT_TRY(const double pressure_mpa, positive_fact(facts.pressure_mpa, "design pressure"));
  BIGHT_TRY(const double allowable_mpa, positive_fact(facts.allowable_mpa, "allowable stress"));
  BIGHT_TRY(const double y_ratio, finite_fact(facts.y_ratio, "coefficient y"));
  BIGHT_TRY(const BendFactors factors, bend_factors(od_mm, clr_mm));
  // The least wall of a bend is its outside, where the factor is the extrados one.
  result.subject = fmt::format("outside wall after bending (I {:.4f})", factors.extrados_ratio);
  result.value = after_mm;
  result.limit = bend_wall_mm({od_mm, pressure_mpa, allowable_mpa, y_ratio, facts.allowance_mm},
                              factors.extrados_ratio);
  result.at_least = true;
  result.provenance = rule.rows.front().provenance;
  return result;
}

Result<Evaluation> wall_factor(const Rule& rule, const BendFacts& facts) {
  Evaluation result;
  BIGHT_TRY(const double od_mm, positive_fact(facts.od_mm, "outside diameter"));
  BIGHT_TRY(const double wall_mm, positive_fact(facts.wall_mm, "wall"));
  result.subject = "wall factor D/t";
  result.value = od_mm / wall_mm;
  result.limit = rule.rows.front().limit.value_or(0.0);
  result.provenance = rule.rows.front().provenance;
  return result;
}

}  // namespace bight::rules

// Rules about lengths and angles of the part.
#include <fmt/format.h>

#include <cmath>

#include "rules/forms.h"
#include "rules/general_tolerance.h"

namespace bight::rules {

using base::Result;

Result<Evaluation> total_bend(const Rule& rule, const BendFacts& facts) {
  Evaluation result;
  BIGHT_TRY(const base::Angle total, angle_fact(facts.total_bend, "total of bends"));
  result.subject = "bends between pull points";
  result.value = total.deg();
  result.limit = rule.rows.front().limit.value_or(0.0);
  result.provenance = rule.rows.front().provenance;
  return result;
}

Result<Evaluation> angle_tolerance(const Rule& rule, const BendFacts& facts) {
  BIGHT_TRY(const double leg_mm, positive_fact(facts.shorter_leg_mm, "shorter leg"));
  BIGHT_TRY(const base::Angle error, angle_fact(facts.angle_error, "angle error"));
  BIGHT_TRY(const auto tolerance, angle_tolerance_of(rule.code, rule.rows.front().variant, leg_mm));
  Evaluation result;
  result.subject = fmt::format("angle off the drawing, shorter leg {:.1f} mm", leg_mm);
  if (!tolerance) return outside_range(result.subject, "the table has no such leg");
  result.value = std::abs(error.deg());
  result.limit = tolerance->plus_minus.deg();
  result.provenance = tolerance->provenance;
  return result;
}

Result<Evaluation> length_tolerance(const Rule& rule, const BendFacts& facts) {
  BIGHT_TRY(const double length_mm, positive_fact(facts.length_mm, "length"));
  BIGHT_TRY(const double error_mm, finite_fact(facts.length_error_mm, "length error"));
  BIGHT_TRY(const auto tolerance,
            length_tolerance_of(rule.code, rule.rows.front().variant, length_mm));
  Evaluation result;
  result.subject = fmt::format("length off the drawing, nominal {:.1f} mm", length_mm);
  if (!tolerance) return outside_range(result.subject, "the table has no such length");
  result.value = std::abs(error_mm);
  result.limit = tolerance->plus_minus_mm;
  result.provenance = tolerance->provenance;
  return result;
}

}  // namespace bight::rules

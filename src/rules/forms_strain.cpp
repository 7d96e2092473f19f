// Rules about cold-forming strain, 100 r/R of the pressure codes.
#include <fmt/format.h>

#include "rules/forms.h"

namespace bight::rules {
namespace {

using base::Result;

// r / R with r the nominal outside radius, R to the centreline.
Result<double> forming_strain_ratio(const BendFacts& facts) {
  BIGHT_TRY(const double clr_mm, positive_fact(facts.clr_mm, "centreline radius"));
  BIGHT_TRY(const double od_mm, positive_fact(facts.od_mm, "outside diameter"));
  return od_mm / (2 * clr_mm);
}

}  // namespace

Result<Evaluation> outer_strain(const Rule& rule, const BendFacts& facts) {
  Evaluation result;
  BIGHT_TRY(result.value, forming_strain_ratio(facts));
  result.subject = "forming strain D/(2R)";
  result.limit = rule.rows.front().limit.value_or(0.0);
  result.provenance = rule.rows.front().provenance;
  return result;
}

Result<Evaluation> strain_of_elongation(const Rule& rule, const BendFacts& facts) {
  Evaluation result;
  BIGHT_TRY(result.value, forming_strain_ratio(facts));
  BIGHT_TRY(const double elongation_ratio,
            positive_fact(facts.elongation_min_ratio, "specified minimum elongation"));
  result.subject =
      fmt::format("forming strain D/(2R) against {:.0f} % elongation", 100 * elongation_ratio);
  result.limit = rule.rows.front().limit.value_or(0.0) * elongation_ratio;
  result.provenance = rule.rows.front().provenance;
  return result;
}

}  // namespace bight::rules

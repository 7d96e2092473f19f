// Rules about the shape of the section: flattening by each body's own measure, and the seam.
#include <fmt/format.h>

#include <array>

#include "mechanics/ovality_measure.h"
#include "rules/forms.h"

namespace bight::rules {
namespace {

using base::Result;

// Every measure of the measured section. The nominal diameter is the average measured before
// bending where it is known, as B31.1 129.1 has it.
Result<mechanics::OvalityMeasures> measures(const BendFacts& facts) {
  BIGHT_TRY(const double d_max_mm, positive_fact(facts.d_max_mm, "largest diameter"));
  BIGHT_TRY(const double d_min_mm, positive_fact(facts.d_min_mm, "smallest diameter"));
  const bool measured = facts.od_measured_mm.has_value();
  BIGHT_TRY(const double od_mm,
            positive_fact(measured ? facts.od_measured_mm : facts.od_mm, "outside diameter"));
  return mechanics::ovality_measures({d_max_mm, d_min_mm, od_mm});
}

// k = R/D only where the rule's rows ask for it, so that rules without a range need no radius.
Result<double> measure_for_rows(const Rule& rule, const BendFacts& facts) {
  for (const RuleRow& row : rule.rows) {
    if (row.from || row.to) return d_of_bend_fact(facts);
  }
  return 0.0;
}

}  // namespace

Result<Evaluation> ovality_of_nominal(const Rule& rule, const BendFacts& facts) {
  Evaluation result;
  result.subject = "flattening (Dmax - Dmin)/D";
  BIGHT_TRY(const auto found, measures(facts));
  BIGHT_TRY(const double d_of_bend_ratio, measure_for_rows(rule, facts));
  std::string variant;
  if (rule.rows.front().variant == "schedule 40") {
    BIGHT_TRY(const bool heavy,
              yes_fact(facts.schedule_40_or_heavier, "schedule (40 or heavier?)"));
    if (!heavy) return outside_range(result.subject, "the rule is for schedule 40 or heavier");
    variant = "schedule 40";
  }
  const RuleRow* row = row_at(rule, variant, d_of_bend_ratio);
  if (row == nullptr) {
    return outside_range(result.subject,
                         fmt::format("a bend of {:.2f} D is not in the rule", d_of_bend_ratio));
  }
  result.value = found.of_nominal_ratio;
  result.limit = row->limit.value_or(0.0);
  result.provenance = row->provenance;
  return result;
}

Result<Evaluation> ovality_of_mean(const Rule& rule, const BendFacts& facts) {
  Evaluation result;
  BIGHT_TRY(const auto found, measures(facts));
  result.subject = "out-of-roundness 2(Dmax - Dmin)/(Dmax + Dmin)";
  result.value = found.of_mean_ratio;
  result.limit = rule.rows.front().limit.value_or(0.0);
  result.provenance = rule.rows.front().provenance;
  return result;
}

Result<Evaluation> roundness_by_radius(const Rule& rule, const BendFacts& facts) {
  // u <= 20 da/rm % up to rm = 4 da, then 5 %.
  Evaluation result;
  BIGHT_TRY(const auto found, measures(facts));
  BIGHT_TRY(const double d_of_bend_ratio, d_of_bend_fact(facts));
  result.subject = "out-of-roundness 2(Dmax - Dmin)/(Dmax + Dmin)";
  const RuleRow* row = row_at(rule, "", d_of_bend_ratio);
  if (row == nullptr) return outside_range(result.subject, "no row for this radius");
  result.value = found.of_mean_ratio;
  result.limit = row->limit.value_or(0.0) / (row->to ? d_of_bend_ratio : 1.0);
  result.provenance = row->provenance;
  return result;
}

Result<Evaluation> least_diameter(const Rule& rule, const BendFacts& facts) {
  Evaluation result;
  BIGHT_TRY(const double d_min_mm, positive_fact(facts.d_min_mm, "smallest diameter"));
  BIGHT_TRY(const double od_mm, positive_fact(facts.od_mm, "outside diameter"));
  const double share_ratio = rule.rows.front().limit.value_or(0.0);
  result.subject =
      fmt::format("smallest over outside diameter (here at least {:.3f} mm)", share_ratio * od_mm);
  result.value = d_min_mm / od_mm;
  result.limit = share_ratio;
  result.at_least = true;
  result.provenance = rule.rows.front().provenance;
  return result;
}

Result<Evaluation> round_ratio(const Rule& rule, const BendFacts& facts) {
  Evaluation result;
  BIGHT_TRY(const double d_max_mm, positive_fact(facts.d_max_mm, "largest diameter"));
  BIGHT_TRY(const double d_min_mm, positive_fact(facts.d_min_mm, "smallest diameter"));
  BIGHT_TRY(const auto found, mechanics::ovality_measures({d_max_mm, d_min_mm, d_max_mm}));
  result.subject = "Dmin/Dmax";
  result.value = found.round_ratio;
  result.limit = rule.rows.front().limit.value_or(0.0);
  result.at_least = true;
  result.provenance = rule.rows.front().provenance;
  return result;
}

Result<Evaluation> seam(const Rule& rule, const BendFacts& facts) {
  // Near the neutral axis unless a mandrel is used, or OD <= 12 in, or D/t < 70. "Near" has no
  // number in the rule.
  constexpr double kSmallOd_mm = 12 * 25.4;
  constexpr double kStockyWallFactor_ratio = 70.0;
  Evaluation result;
  result.subject = "weld seam off the neutral side";
  result.provenance = rule.rows.front().provenance;
  BIGHT_TRY(const double od_mm, positive_fact(facts.od_mm, "outside diameter"));
  if (facts.mandrel_used.value_or(false)) {
    result.exempt = "a mandrel is used, the seam may lie anywhere";
  } else if (od_mm <= kSmallOd_mm) {
    result.exempt = "the pipe is no larger than 12 in, the seam may lie anywhere";
  } else {
    BIGHT_TRY(const double wall_mm, positive_fact(facts.wall_mm, "wall"));
    if (od_mm / wall_mm < kStockyWallFactor_ratio) {
      result.exempt = "D/t is below 70, the seam may lie anywhere";
    }
  }
  if (!result.exempt.empty()) return result;
  BIGHT_TRY(const base::Angle off, angle_fact(facts.seam_off_neutral, "seam position"));
  result.value = off.deg();
  result.no_number = true;
  return result;
}

}  // namespace bight::rules

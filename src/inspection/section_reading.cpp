#include "inspection/section_reading.h"

#include <algorithm>

namespace bight::inspection {

using base::Failure;

namespace {

rules::BendFacts facts_of(const part::Part& part, std::size_t index, const MeasuredBend& bend,
                          const std::vector<double>& radii_mm) {
  rules::BendFacts facts;
  facts.od_mm = part.section.height_mm();
  facts.wall_mm = part.section.wall_mm();
  facts.metal_family = part.material.family;
  if (part.material.elongation_min_ratio) {
    facts.elongation_min_ratio = part.material.elongation_min_ratio->value;
  }
  if (index < radii_mm.size()) facts.clr_mm = radii_mm[index];
  facts.d_max_mm = bend.d_max_mm;
  facts.d_min_mm = bend.d_min_mm;
  facts.wall_after_mm = bend.wall_mm;
  return facts;
}

// Rules about the shape or the wall of a finished bend; others are judged with the plan.
bool about_sections(const rules::Rule& rule) {
  for (const char* form : {"ovality_of_nominal", "ovality_of_mean", "roundness_by_radius",
                           "least_diameter", "round_ratio", "wall_after_share", "wall_loss"}) {
    if (rule.form == form) return true;
  }
  return false;
}

}  // namespace

base::Result<std::vector<SectionJudgement>> judge_sections(
    const part::Part& part, const Measured& measured, const std::vector<double>& radii_mm,
    const std::vector<std::string>& rule_ids) {
  std::vector<SectionJudgement> out;
  if (!measured.any_section()) return out;
  if (part.section.kind() != stock::SectionKind::kRoundTube) {
    return Failure{"section.hollow", "", "roundness and wall are read on round tube only",
                   "leave the diameters and walls out for this stock"};
  }
  BIGHT_TRY(const rules::RuleBook book, rules::RuleBook::built_in());
  std::vector<std::string> ids = part.rules;
  for (const std::string& id : rule_ids) {
    if (std::find(ids.begin(), ids.end(), id) == ids.end()) ids.push_back(id);
  }
  for (std::size_t i = 0; i < measured.bends.size(); ++i) {
    const MeasuredBend& bend = measured.bends[i];
    if (!bend.d_max_mm && !bend.d_min_mm && !bend.wall_mm) continue;
    SectionJudgement judged;
    judged.bend = i + 1;
    if (bend.d_max_mm && bend.d_min_mm) {
      BIGHT_TRY(judged.roundness, mechanics::ovality_measures(
                                      {*bend.d_max_mm, *bend.d_min_mm, part.section.height_mm()}));
    }
    if (bend.wall_mm) judged.wall_loss_ratio = 1.0 - *bend.wall_mm / part.section.wall_mm();
    for (const std::string& id : ids) {
      const rules::Rule* rule = book.find(id);
      if (rule != nullptr && !about_sections(*rule)) continue;
      const base::Result<rules::RuleCheck> check =
          rules::check_rule(book, id, facts_of(part, i, bend, radii_mm));
      if (check.ok()) {
        judged.checks.push_back(*check);
      } else if (check.failure().code != "rules.missing") {
        return check.failure();
      }
    }
    out.push_back(std::move(judged));
  }
  return out;
}

}  // namespace bight::inspection

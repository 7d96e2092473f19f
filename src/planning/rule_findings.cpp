#include "planning/rule_findings.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "rules/rule_check.h"

namespace bight::planning {

using part::Finding;
using part::Severity;
using rules::RuleCheck;
using rules::Verdict;

namespace {

rules::BendFacts facts_of(const Plan& plan, std::size_t bend) {
  const part::Part& part = plan.part;
  rules::BendFacts facts;
  facts.od_mm = part::section_at(part, bend).height_mm();
  if (part.section.hollow()) facts.wall_mm = part.section.wall_mm();
  facts.metal_family = part.material.family;
  if (part.material.elongation_min_ratio) {
    facts.elongation_min_ratio = part.material.elongation_min_ratio->value;
  }
  facts.clr_mm = plan.bent_table.rows()[bend].radius_mm;
  if (plan.seam) facts.seam_off_neutral = plan.seam->off_neutral;
  facts.total_bend = part.table.total_bend();
  for (const UsedDie& used : plan.dies) facts.mandrel_used = used.die.mandrel;
  return facts;
}

// The worse of two answers of one rule: not met before the rest, then the smaller margin.
bool worse(const RuleCheck& a, const RuleCheck& b) {
  const bool a_fails = a.verdict == Verdict::kNotMet;
  const bool b_fails = b.verdict == Verdict::kNotMet;
  if (a_fails != b_fails) return a_fails;
  return a.margin < b.margin;
}

Finding finding_of(const RuleCheck& check, std::size_t bend) {
  Finding finding{Severity::kNote,
                  "rule.met",
                  bend + 1,
                  check.message,
                  "",
                  fmt::format("{} {}, {}; {}; {}", check.code, check.edition, check.clause,
                              check.source, check.notice),
                  {{"value", check.value}, {"limit", check.limit}, {"margin", check.margin}}};
  if (check.verdict == Verdict::kNotMet) {
    finding.severity = Severity::kStop;
    finding.code = "rule.not-met";
    finding.remedy = "change the part, or agree with the customer which edition and limit govern";
  } else if (check.verdict == Verdict::kUnconfirmed) {
    finding.code = "rule.unconfirmed";
    finding.remedy = "read the limit in the standard itself";
  } else if (check.verdict == Verdict::kOutsideRange) {
    finding.code = "rule.outside-range";
  }
  return finding;
}

}  // namespace

void add_rule_findings(Plan& plan) {
  for (const std::string& id : plan.part.rules) {
    std::optional<RuleCheck> worst;
    std::size_t worst_bend = 0;
    std::optional<base::Failure> failure;
    for (std::size_t bend = 0; bend < plan.bent_table.num_bends(); ++bend) {
      const base::Result<RuleCheck> check = rules::check_rule(id, facts_of(plan, bend));
      if (!check.ok()) {
        failure = check.failure();
        break;
      }
      if (!worst || worse(*check, *worst)) {
        worst = *check;
        worst_bend = bend;
      }
    }
    if (failure) {
      const bool missing = failure->code == "rules.missing";
      plan.findings.push_back(
          {missing ? Severity::kNote : Severity::kCaution,
           failure->code,
           std::nullopt,
           fmt::format("rule {}: {}", id, failure->message),
           missing ? "measure the first part and hold it against the rule" : failure->remedy,
           "the part file's rules",
           {}});
    } else if (worst) {
      plan.rule_checks.push_back(*worst);
      plan.findings.push_back(finding_of(*worst, worst_bend));
    }
  }
}

}  // namespace bight::planning

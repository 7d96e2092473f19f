#include "planning/rule_findings.h"

#include <gtest/gtest.h>

#include "planning/planner.h"
#include "planning/sample_shop_test_util.h"

namespace bight::planning {
namespace {

using sample::find;

Plan with_rules(std::vector<std::string> ids) {
  part::Part part = sample::u_part();
  part.rules = std::move(ids);
  return *planning::plan(part, sample::shop());
}

// Forming strain 100 r/R of 38.1 on about 116 is 16 %, far above the 5 % of ASME I PG-20: not met,
// and the finding carries clause and notice (training text quoting PG-19; article on PG-20).
TEST(RuleFindingsReference, FormingStrainNotMet) {
  const Plan plan = with_rules({"asme1-pg20"});
  ASSERT_EQ(plan.rule_checks.size(), 1u);
  const part::Finding* finding = find(plan.findings, "rule.not-met");
  ASSERT_NE(finding, nullptr);
  EXPECT_EQ(finding->severity, part::Severity::kStop);
  EXPECT_NE(finding->source.find("certifies nothing"), std::string::npos);
  EXPECT_NEAR(finding->numbers.at("limit"), 0.05, 1e-12);
}

// A recalled rule never decides.
TEST(RuleFindings, RecalledRuleIsOnlyShown) {
  const Plan plan = with_rules({"asme8-ucs79"});
  EXPECT_NE(find(plan.findings, "rule.unconfirmed"), nullptr);
  EXPECT_EQ(find(plan.findings, "rule.not-met"), nullptr);
}

// A rule that needs a measured part says so instead of guessing.
TEST(RuleFindings, NeedsTheMeasuredPart) {
  const Plan plan = with_rules({"tema-flattening"});
  const part::Finding* finding = find(plan.findings, "rules.missing");
  ASSERT_NE(finding, nullptr);
  EXPECT_EQ(finding->severity, part::Severity::kNote);
}

TEST(RuleFindings, UnknownRuleIsSaid) {
  const Plan plan = with_rules({"no-such-rule"});
  const part::Finding* finding = find(plan.findings, "rules.unknown");
  ASSERT_NE(finding, nullptr);
  EXPECT_EQ(finding->severity, part::Severity::kCaution);
}

}  // namespace
}  // namespace bight::planning

#include <gtest/gtest.h>

#include "rules/rule_check.h"

namespace bight::rules {
namespace {

TEST(StrainRules, WorkedExampleOfPg19) {
  // Proves 100 r/R: OD 44.5, R 65 -> 34.2 % (training text quoting ASME BPVC I PG-19).
  BendFacts facts;
  facts.od_mm = 44.5;
  facts.clr_mm = 65;
  const auto check = check_rule("asme1-pg20", facts);
  EXPECT_NEAR(100 * check->value, 34.2, 0.05);
  EXPECT_EQ(check->verdict, Verdict::kNotMet);
}

TEST(StrainRules, HalfTheElongation) {
  // Proves 25 % elongation -> cold limit 12.5 %, and 30 % -> R >= 3.33 D (ASME B31.3 332.4.2 as
  // answered by a user of the code).
  BendFacts facts;
  facts.od_mm = 100;
  facts.clr_mm = 400;
  facts.elongation_min_ratio = 0.25;
  const auto at = check_rule("b31.3-heat-treatment", facts);
  EXPECT_NEAR(at->limit, 0.125, 1e-12);
  EXPECT_EQ(at->verdict, Verdict::kMet);
  facts.elongation_min_ratio = 0.30;
  facts.clr_mm = 333;
  EXPECT_EQ(check_rule("b31.3-heat-treatment", facts)->verdict, Verdict::kNotMet);
  facts.clr_mm = 334;
  EXPECT_EQ(check_rule("b31.3-heat-treatment", facts)->verdict, Verdict::kMet);
  facts.elongation_min_ratio.reset();
  EXPECT_EQ(check_rule("b31.3-heat-treatment", facts).failure().code, "rules.missing");
}

TEST(StrainRules, RecalledLimitsNeverDecide) {
  // Proves that UCS-79 and impact-tested limits are shown only.
  BendFacts facts;
  facts.od_mm = 100;
  facts.clr_mm = 100;
  EXPECT_EQ(check_rule("asme8-ucs79", facts)->verdict, Verdict::kUnconfirmed);
  EXPECT_EQ(check_rule("b31.3-impact-tested", facts)->verdict, Verdict::kUnconfirmed);
}

}  // namespace
}  // namespace bight::rules

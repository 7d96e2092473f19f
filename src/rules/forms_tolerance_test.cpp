#include <gtest/gtest.h>

#include "rules/rule_check.h"

namespace bight::rules {
namespace {

using base::Angle;

TEST(ToleranceRules, ConduitRun) {
  // Proves at most 360° between pull points (NEC 342.26, 344.26, 352.26, 358.26, secondary): four
  // quarter bends pass, with an offset more they do not.
  BendFacts facts;
  facts.total_bend = Angle::degrees(90) * 4;
  EXPECT_EQ(check_rule("nec-total-bend", facts)->verdict, Verdict::kMet);
  facts.total_bend = Angle::degrees(90) * 4 + Angle::degrees(10);
  const auto over = check_rule("nec-total-bend", facts);
  EXPECT_EQ(over->verdict, Verdict::kNotMet);
  EXPECT_NEAR(over->margin, -10, 1e-9);
}

TEST(ToleranceRules, AnglesByTheShorterLeg) {
  // Proves the 300 mm leg again through the rule: ±45′ and ±10′, either sign.
  BendFacts facts;
  facts.shorter_leg_mm = 300;
  facts.angle_error = Angle::degrees(-0.7);
  EXPECT_EQ(check_rule("iso13920-b-angle", facts)->verdict, Verdict::kMet);
  EXPECT_EQ(check_rule("iso2768-m-angle", facts)->verdict, Verdict::kNotMet);
  facts.shorter_leg_mm = 500;  // recalled cell
  EXPECT_EQ(check_rule("iso2768-m-angle", facts)->verdict, Verdict::kUnconfirmed);
}

TEST(ToleranceRules, Lengths) {
  // Proves ISO 13920-B ±3 at 500 mm, and no verdict where the standard has no value.
  BendFacts facts;
  facts.length_mm = 500;
  facts.length_error_mm = -3;
  EXPECT_EQ(check_rule("iso13920-b-length", facts)->verdict, Verdict::kMet);
  facts.length_error_mm = 3.1;
  EXPECT_EQ(check_rule("iso13920-b-length", facts)->verdict, Verdict::kNotMet);
  facts.length_mm = 13000;
  EXPECT_EQ(check_rule("iso13920-b-length", facts)->verdict, Verdict::kOutsideRange);
}

}  // namespace
}  // namespace bight::rules

#include <gtest/gtest.h>

#include "rules/rule_check.h"

namespace bight::rules {
namespace {

RuleCheck checked(std::string_view id, const BendFacts& facts) {
  auto check = check_rule(id, facts);
  EXPECT_TRUE(check.ok()) << (check.ok() ? "" : check.failure().text());
  return std::move(check).value();
}

TEST(WallRules, PreBendFactors) {
  // Proves 3, 4, 5, 6 and more NPD -> 1.25, 1.14, 1.08, 1.06, and 4.5 -> 1.11 on the straight line
  // (ASME B31.1 102.4.5 as reproduced in UFGS Table 5-4; interpolation permitted by its note).
  BendFacts facts;
  facts.od_mm = 100;
  facts.required_wall_mm = 1;
  facts.wall_before_mm = 1.2;
  for (const auto& [d_of_bend, factor] :
       {std::pair{3.0, 1.25}, {4.0, 1.14}, {4.5, 1.11}, {5.0, 1.08}, {6.0, 1.06}, {9.0, 1.06}}) {
    facts.clr_mm = 100 * d_of_bend;
    const auto check = checked("b31.1-wall-before", facts);
    EXPECT_NEAR(check.limit, factor, 1e-12);
    EXPECT_EQ(check.verdict, factor > 1.2 ? Verdict::kNotMet : Verdict::kMet);
  }
  facts.clr_mm = 299;
  EXPECT_EQ(checked("b31.1-wall-before", facts).verdict, Verdict::kOutsideRange);
  // NPD is the nominal size of pipe: 4 in pipe (114.3 mm) on 12 in is a 3 D bend.
  facts.od_mm = 114.3;
  facts.nominal_diameter_mm = 101.6;
  facts.clr_mm = 304.8;
  EXPECT_NEAR(checked("b31.1-wall-before", facts).limit, 1.25, 1e-12);
}

TEST(WallRules, TemaStraightWall) {
  // Proves do 18, R 48, t1 0.68 -> t0 0.744, printed 0.75 because t1 was rounded (public
  // calculation thread; tolerance 0.01 mm).
  BendFacts facts;
  facts.od_mm = 18;
  facts.clr_mm = 48;
  facts.required_wall_mm = 0.68;
  facts.wall_before_mm = 0.75;
  const auto check = checked("tema-wall", facts);
  EXPECT_NEAR(check.limit, 0.744, 5e-4);
  EXPECT_NEAR(check.limit, 0.75, 0.01);
  EXPECT_EQ(check.verdict, Verdict::kMet);
}

TEST(WallRules, IacsAllowance) {
  // Proves b = (1/2.5)(D/R) t0: D 60.3, R 90.45 -> 0.2667 t0 (IACS UR P1, text read).
  BendFacts facts;
  facts.od_mm = 60.3;
  facts.clr_mm = 90.45;
  facts.required_wall_mm = 1;
  facts.wall_before_mm = 1.2;
  const auto check = checked("iacs-p1-allowance", facts);
  EXPECT_NEAR(check.limit, 1.2667, 1e-4);
  EXPECT_EQ(check.verdict, Verdict::kNotMet);
  facts.allowance_mm = 1;
  EXPECT_NEAR(checked("iacs-p1-allowance", facts).limit, 2.2667, 1e-4);
}

TEST(WallRules, UBendWall) {
  // Proves the mill practice: 0.75, 0.80, 0.90 t at 1.8, 3, 6 D (public U-bend sheet, read), and
  // TEMA's 17 % loss above 1.5 D only.
  BendFacts facts;
  facts.od_mm = 25;
  facts.wall_mm = 2;
  facts.wall_after_mm = 1.62;
  for (const auto& [d_of_bend, share] : {std::pair{1.8, 0.75}, {3.0, 0.80}, {6.0, 0.90}}) {
    facts.clr_mm = 25 * d_of_bend;
    const auto check = checked("ubend-wall", facts);
    EXPECT_DOUBLE_EQ(check.limit, share);
    EXPECT_EQ(check.verdict, share > 0.81 ? Verdict::kNotMet : Verdict::kMet);
    EXPECT_NEAR(check.margin, 0.81 - share, 1e-12);
  }
  EXPECT_EQ(checked("tema-thinning", facts).verdict, Verdict::kNotMet);  // 19 %
  facts.clr_mm = 30;
  EXPECT_EQ(checked("tema-thinning", facts).verdict, Verdict::kOutsideRange);
}

TEST(WallRules, RecalledWallNeverDecides) {
  // Proves that the pressure wall, whose formula nobody could read, is only shown.
  BendFacts facts;
  facts.od_mm = 60.3;
  facts.clr_mm = 76.2;
  facts.wall_after_mm = 0.01;
  facts.pressure_mpa = 10;
  facts.allowable_mpa = 100;
  facts.y_ratio = 0.4;
  const auto check = checked("b31.3-pressure-wall", facts);
  EXPECT_EQ(check.verdict, Verdict::kUnconfirmed);
  EXPECT_LT(check.margin, 0);
  EXPECT_EQ(check.message.rfind("unconfirmed", 0), 0u);
  facts.wall_mm = 3;
  EXPECT_EQ(checked("en1090-wall-factor", facts).verdict, Verdict::kUnconfirmed);
}

}  // namespace
}  // namespace bight::rules

#include <gtest/gtest.h>

#include "rules/rule_check.h"

namespace bight::rules {
namespace {

RuleCheck checked(std::string_view id, const BendFacts& facts) {
  auto check = check_rule(id, facts);
  EXPECT_TRUE(check.ok()) << (check.ok() ? "" : check.failure().text());
  return std::move(check).value();
}

BendFacts measured(double od_mm, double d_max_mm, double d_min_mm, double d_of_bend) {
  BendFacts facts;
  facts.od_mm = od_mm;
  facts.d_max_mm = d_max_mm;
  facts.d_min_mm = d_min_mm;
  facts.clr_mm = d_of_bend * od_mm;
  return facts;
}

TEST(ShapeRules, FlatteningOfPipe) {
  // Proves B31.1 129.1 for schedule 40 at 5 D: 7.9 % passes, 8.1 % fails, 8 % of 60.3 is 4.82 mm
  // (UFGS text reproducing the clause, read).
  auto facts = measured(60.3, 60.3 * 1.0395, 60.3 * 0.9605, 5);
  facts.schedule_40_or_heavier = true;
  const auto pass = checked("b31.1-flattening", facts);
  EXPECT_EQ(pass.verdict, Verdict::kMet);
  EXPECT_NEAR(pass.value, 0.079, 1e-9);
  EXPECT_NEAR(pass.limit * 60.3, 4.82, 0.005);
  facts.d_min_mm = 60.3 * 0.9585;
  EXPECT_EQ(checked("b31.1-flattening", facts).verdict, Verdict::kNotMet);
  facts.clr_mm = 4.9 * 60.3;
  EXPECT_EQ(checked("b31.1-flattening", facts).verdict, Verdict::kOutsideRange);
  facts.clr_mm = 5 * 60.3;
  facts.schedule_40_or_heavier = false;
  EXPECT_EQ(checked("b31.1-flattening", facts).verdict, Verdict::kOutsideRange);
  facts.schedule_40_or_heavier.reset();
  EXPECT_EQ(check_rule("b31.1-flattening", facts).failure().code, "rules.missing");
}

TEST(ShapeRules, UBendOvality) {
  // Proves the mill practice at 1.8, 3 and 6 D: 12, 10, 5 %; both limits of a range belong to the
  // tighter radius (public U-bend sheet, read).
  for (const auto& [d_of_bend, limit] :
       {std::pair{1.8, 0.12}, {2.0, 0.12}, {3.0, 0.10}, {4.0, 0.10}, {6.0, 0.05}}) {
    const auto check = checked("ubend-ovality", measured(25, 25.5, 24.5, d_of_bend));
    EXPECT_DOUBLE_EQ(check.limit, limit);
    EXPECT_NEAR(check.value, 0.04, 1e-12);
  }
}

TEST(ShapeRules, RoundnessByRadius) {
  // Proves u <= 20 da/rm % up to 4 da, then 5 %: da 25, rm 60 -> 8.33 %, rm 100 and 200 -> 5 %
  // (European U-tube sheet, formula read).
  for (const auto& [clr_mm, limit] : {std::pair{60.0, 0.083333}, {100.0, 0.05}, {200.0, 0.05}}) {
    const auto check = checked("utube-roundness", measured(25, 25.5, 24.5, clr_mm / 25));
    EXPECT_NEAR(check.limit, limit, 1e-6);
    EXPECT_NEAR(check.value, 2 * 1.0 / 50.0, 1e-12);
  }
}

TEST(ShapeRules, EachBodyItsOwnMeasure) {
  // Proves that EN's measure is 2(Dmax - Dmin)/(Dmax + Dmin) and ASME's of the nominal diameter:
  // 45 mm tube measured 46.1 / 42.0.
  const auto facts = measured(45, 46.1, 42.0, 3);
  EXPECT_NEAR(checked("en13480-external", facts).value, 2 * 4.1 / 88.1, 1e-12);
  EXPECT_NEAR(checked("tema-flattening", facts).value, 4.1 / 45, 1e-12);
  EXPECT_EQ(checked("en13480-external", facts).verdict, Verdict::kNotMet);
  EXPECT_EQ(checked("tema-flattening", facts).verdict, Verdict::kMet);  // 9.1 % of 10 %
  EXPECT_EQ(checked("csa-z662-ovality", facts).verdict, Verdict::kNotMet);
}

TEST(ShapeRules, RollCage) {
  // Proves 45 mm measured 46.1/42.0 -> ratio 0.911, pass at 0.9, and R >= 3 D (2009 international
  // rule text, read).
  const auto check = checked("rollcage-round", measured(45, 46.1, 42.0, 3));
  EXPECT_EQ(check.verdict, Verdict::kMet);
  EXPECT_NEAR(check.value, 0.911, 5e-4);
  EXPECT_EQ(checked("rollcage-round", measured(45, 46.7, 42.0, 3)).verdict, Verdict::kNotMet);
  EXPECT_EQ(checked("rollcage-radius", measured(45, 46.1, 42.0, 3)).verdict, Verdict::kMet);
  EXPECT_EQ(checked("rollcage-radius", measured(45, 46.1, 42.0, 2.99)).verdict, Verdict::kNotMet);
}

TEST(ShapeRules, AircraftLine) {
  // Proves 75 %: OD 0.500 in -> 0.375 in; OD 12.7 mm -> 9.525 mm (handbook text, read).
  const auto at = checked("faa-line-flattening", measured(12.7, 14, 9.525, 3));
  EXPECT_EQ(at.verdict, Verdict::kMet);
  EXPECT_NE(at.message.find("9.525 mm"), std::string::npos);
  EXPECT_EQ(checked("faa-line-flattening", measured(12.7, 14, 9.52, 3)).verdict, Verdict::kNotMet);
}

TEST(ShapeRules, SeamOfAFieldBend) {
  // Proves 49 CFR 192.313 (text read): mandrel, 12 in, D/t < 70 exempt; otherwise the rule says
  // "near" without a number, which never decides.
  BendFacts facts;
  facts.od_mm = 610;
  facts.wall_mm = 8;
  facts.seam_off_neutral = base::Angle::degrees(30);
  const auto open = checked("cfr192-313-seam", facts);
  EXPECT_EQ(open.verdict, Verdict::kUnconfirmed);
  EXPECT_NE(open.message.find("no number"), std::string::npos);
  facts.wall_mm = 10;
  EXPECT_EQ(checked("cfr192-313-seam", facts).verdict, Verdict::kMet);
  facts.wall_mm = 8;
  facts.mandrel_used = true;
  EXPECT_EQ(checked("cfr192-313-seam", facts).verdict, Verdict::kMet);
  facts.mandrel_used = false;
  facts.od_mm = 304.8;
  EXPECT_EQ(checked("cfr192-313-seam", facts).verdict, Verdict::kMet);
}

}  // namespace
}  // namespace bight::rules

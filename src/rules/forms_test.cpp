#include "rules/forms.h"

#include <gtest/gtest.h>

#include <limits>

namespace bight::rules {
namespace {

TEST(Forms, FactsAreNamedWhenMissingOrWrong) {
  // Proves the failures of facts.
  EXPECT_EQ(positive_fact(std::nullopt, "wall").failure().code, "rules.missing");
  EXPECT_EQ(positive_fact(std::nullopt, "wall").failure().where, "wall");
  EXPECT_EQ(positive_fact(0.0, "wall").failure().code, "rules.fact");
  EXPECT_EQ(finite_fact(std::numeric_limits<double>::infinity(), "x").failure().code, "rules.fact");
  EXPECT_DOUBLE_EQ(*finite_fact(-2.0, "x"), -2.0);
  EXPECT_EQ(angle_fact(base::Angle::radians(std::numeric_limits<double>::quiet_NaN()), "a")
                .failure()
                .code,
            "rules.fact");
  EXPECT_EQ(yes_fact(std::nullopt, "q").failure().code, "rules.missing");
  EXPECT_EQ(text_fact("", "t").failure().code, "rules.missing");
}

TEST(Forms, BendIsCountedInNominalDiametersOfPipe) {
  // Proves R / NPD where a nominal diameter is given, R / D otherwise.
  BendFacts facts;
  facts.clr_mm = 304.8;
  facts.od_mm = 114.3;
  EXPECT_NEAR(*d_of_bend_fact(facts), 2.6667, 1e-4);
  facts.nominal_diameter_mm = 101.6;
  EXPECT_NEAR(*d_of_bend_fact(facts), 3.0, 1e-12);
}

TEST(Forms, FirstRowThatFits) {
  // Proves that both limits of a range belong to it and the first row wins.
  Rule rule;
  rule.rows = {{"", {}, 2.0, 0.12, {}}, {"", 2.0, 4.0, 0.10, {}}, {"steel", 4.0, {}, 0.05, {}}};
  EXPECT_EQ(row_at(rule, "", 2.0), &rule.rows[0]);
  EXPECT_EQ(row_at(rule, "", 2.1), &rule.rows[1]);
  EXPECT_EQ(row_at(rule, "steel", 9.0), &rule.rows[2]);
  EXPECT_EQ(row_at(rule, "copper", 9.0), nullptr);
}

TEST(Forms, UnknownFormIsNone) {
  // Proves the lookup.
  EXPECT_EQ(find_form("handstand"), nullptr);
  ASSERT_NE(find_form("wall_before"), nullptr);
  EXPECT_TRUE(find_form("wall_before")->needs_from);
}

}  // namespace
}  // namespace bight::rules

#include "rules/rule_check.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

namespace bight::rules {
namespace {

// Facts that every rule can be asked with.
BendFacts everything() {
  BendFacts facts;
  facts.od_mm = 400;
  facts.wall_mm = 5;
  facts.wall_before_mm = 4.8;
  facts.schedule_40_or_heavier = true;
  facts.metal_family = "carbon steel";
  facts.elongation_min_ratio = 0.25;
  facts.clr_mm = 1200;
  facts.radius_error_mm = 0.4;
  facts.mandrel_used = false;
  facts.seam_off_neutral = base::Angle::degrees(10);
  facts.d_max_mm = 410;
  facts.d_min_mm = 390;
  facts.wall_after_mm = 4.2;
  facts.required_wall_mm = 3;
  facts.pressure_mpa = 2;
  facts.allowable_mpa = 120;
  facts.y_ratio = 0.4;
  facts.conduit_trade_size = "1";
  facts.one_shot = true;
  facts.total_bend = base::Angle::degrees(270);
  facts.copper_nominal_in = 0.5;
  facts.copper_type = 'K';
  facts.copper_temper = "annealed";
  facts.length_mm = 500;
  facts.length_error_mm = 1;
  facts.shorter_leg_mm = 300;
  facts.angle_error = base::Angle::degrees(0.1);
  return facts;
}

TEST(RuleCheck, NothingIsCertified) {
  // Proves that every rule answers, carries clause, source and the sentence that it certifies
  // nothing, and that a recalled rule never decides.
  const auto book = RuleBook::built_in();
  for (const Rule& rule : book->all()) {
    const auto check = check_rule(*book, rule.id, everything());
    ASSERT_TRUE(check.ok()) << rule.id << ": " << check.failure().text();
    EXPECT_NE(check->notice.find("certifies nothing"), std::string_view::npos);
    EXPECT_EQ(check->clause, rule.clause);
    EXPECT_FALSE(check->source.empty());
    EXPECT_FALSE(check->message.empty());
    const bool decides = check->verdict == Verdict::kMet || check->verdict == Verdict::kNotMet;
    if (check->provenance == stock::Provenance::kUnconfirmed) {
      EXPECT_FALSE(decides) << rule.id;
    }
    EXPECT_EQ(check->message.rfind(std::string(word(check->verdict)), 0), 0u) << check->message;
  }
}

TEST(RuleCheck, MarginAgreesWithVerdict) {
  // Proves that margin is the room left on the allowed side for every rule that decides.
  const auto book = RuleBook::built_in();
  for (const Rule& rule : book->all()) {
    const auto check = check_rule(*book, rule.id, everything());
    if (check->verdict != Verdict::kMet && check->verdict != Verdict::kNotMet) continue;
    EXPECT_EQ(check->verdict == Verdict::kMet, check->margin >= -1e-9 * std::abs(check->limit))
        << rule.id;
    EXPECT_NEAR(std::abs(check->margin), std::abs(check->value - check->limit), 1e-12);
  }
}

TEST(RuleCheck, RulesOfAPart) {
  // Proves several rules at once, in order, and that the first failure ends it.
  const auto book = RuleBook::built_in();
  const auto checks = check_rules(*book, {"tema-flattening", "rollcage-round"}, everything());
  ASSERT_TRUE(checks.ok());
  ASSERT_EQ(checks->size(), 2u);
  EXPECT_EQ((*checks)[1].rule_id, "rollcage-round");
  EXPECT_EQ(check_rules(*book, {"tema-flattening", "nope"}, everything()).failure().code,
            "rules.unknown");
}

TEST(RuleCheck, LimitsAreMetExactly) {
  // Proves that a value on its limit meets it in spite of rounding: 0.9 = 40.5/45.
  BendFacts facts;
  facts.d_max_mm = 45;
  facts.d_min_mm = 40.5;
  EXPECT_EQ(check_rule("rollcage-round", facts)->verdict, Verdict::kMet);
}

RC_GTEST_PROP(RuleCheck, MoreFlatteningNeverHelps, ()) {
  // Proves that the verdict of a flattening rule only ever worsens as Dmin falls.
  const double d_min_mm = 30 + *rc::gen::inRange(0, 1000) / 100.0;
  const double lower_mm = d_min_mm - *rc::gen::inRange(0, 500) / 100.0;
  BendFacts facts;
  facts.od_mm = 42;
  facts.d_max_mm = 43;
  facts.d_min_mm = d_min_mm;
  const auto before = check_rule("tema-flattening", facts);
  facts.d_min_mm = lower_mm;
  const auto after = check_rule("tema-flattening", facts);
  RC_ASSERT(after->margin <= before->margin);
  RC_ASSERT(!(before->verdict == Verdict::kNotMet && after->verdict == Verdict::kMet));
}

}  // namespace
}  // namespace bight::rules

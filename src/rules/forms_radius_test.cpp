#include <gtest/gtest.h>

#include "rules/rule_check.h"

namespace bight::rules {
namespace {

constexpr double kInch = 25.4;

RuleCheck checked(std::string_view id, const BendFacts& facts) {
  auto check = check_rule(id, facts);
  EXPECT_TRUE(check.ok()) << (check.ok() ? "" : check.failure().text());
  return std::move(check).value();
}

TEST(RadiusRules, CopperByNominalSize) {
  // Proves 1/2 in L annealed: R 2.25 accepted, 2.0 rejected; 1 1/4 in: 8 rejected, 9 accepted
  // (CDA publication A4015, bending guide).
  BendFacts facts;
  facts.copper_nominal_in = 0.5;
  facts.copper_type = 'L';
  facts.copper_temper = "annealed";
  facts.clr_mm = 2.25 * kInch;
  EXPECT_EQ(checked("cda-a4015-radius", facts).verdict, Verdict::kMet);
  facts.clr_mm = 2.0 * kInch;
  EXPECT_EQ(checked("cda-a4015-radius", facts).verdict, Verdict::kNotMet);
  facts.copper_temper = "drawn";
  EXPECT_NEAR(checked("cda-a4015-radius", facts).limit, 2.5 * kInch, 1e-9);
  facts.copper_nominal_in = 1.25;
  facts.copper_temper = "annealed";
  facts.clr_mm = 8 * kInch;
  EXPECT_EQ(checked("cda-a4015-radius", facts).verdict, Verdict::kNotMet);
  facts.clr_mm = 9 * kInch;
  EXPECT_EQ(checked("cda-a4015-radius", facts).verdict, Verdict::kMet);
  facts.copper_type = 'M';
  EXPECT_EQ(checked("cda-a4015-radius", facts).verdict, Verdict::kOutsideRange);
}

TEST(RadiusRules, CopperMetric) {
  // Proves EN 1057 via IKZ-Praxis 2/2000 Table 1: 15 mm -> 55 mm.
  BendFacts facts;
  facts.od_mm = 15;
  facts.clr_mm = 55;
  EXPECT_EQ(checked("en1057-radius", facts).verdict, Verdict::kMet);
  facts.clr_mm = 54;
  EXPECT_EQ(checked("en1057-radius", facts).verdict, Verdict::kNotMet);
  facts.od_mm = 22;
  EXPECT_EQ(checked("en1057-radius", facts).verdict, Verdict::kOutsideRange);
}

TEST(RadiusRules, Conduit) {
  // Proves NEC Chapter 9 Table 2 (secondary tables): 1/2, 3/4, 1, 2 -> 4, 4.5, 5.75, 9.5 in
  // one-shot, 4, 5, 6, 12 in other bends; a recalled cell is unconfirmed.
  BendFacts facts;
  struct Row {
    const char* size;
    double one_shot_in, other_in;
  };
  for (const Row& row :
       {Row{"1/2", 4, 4}, Row{"3/4", 4.5, 5}, Row{"1", 5.75, 6}, Row{"2", 9.5, 12}}) {
    facts.conduit_trade_size = row.size;
    facts.one_shot = true;
    facts.clr_mm = row.one_shot_in * kInch;
    EXPECT_EQ(checked("nec-radius", facts).verdict, Verdict::kMet);
    facts.clr_mm = row.one_shot_in * kInch - 1;
    EXPECT_EQ(checked("nec-radius", facts).verdict, Verdict::kNotMet);
    facts.one_shot = false;
    EXPECT_NEAR(checked("nec-radius", facts).limit, row.other_in * kInch, 1e-9);
  }
  facts.conduit_trade_size = "5";
  EXPECT_EQ(checked("nec-radius", facts).verdict, Verdict::kUnconfirmed);
  facts.conduit_trade_size = "7";
  EXPECT_EQ(checked("nec-radius", facts).verdict, Verdict::kOutsideRange);
}

TEST(RadiusRules, PipeByMetal) {
  // Proves 2 D for steel, 1.5 D for copper (US Navy manual page), 3 D for steel to DN 25 (DVGW).
  BendFacts facts;
  facts.od_mm = 33.7;
  facts.clr_mm = 1.8 * 33.7;
  facts.metal_family = "carbon steel";
  EXPECT_EQ(checked("navedtra-radius", facts).verdict, Verdict::kNotMet);
  EXPECT_EQ(checked("dvgw-steel-radius", facts).verdict, Verdict::kNotMet);
  facts.metal_family = "copper";
  EXPECT_EQ(checked("navedtra-radius", facts).verdict, Verdict::kMet);
  facts.metal_family = "titanium";
  EXPECT_EQ(checked("navedtra-radius", facts).verdict, Verdict::kOutsideRange);
  facts.metal_family = "carbon steel";
  facts.od_mm = 42.4;
  EXPECT_EQ(checked("dvgw-steel-radius", facts).verdict, Verdict::kOutsideRange);
}

TEST(RadiusRules, ThinnessOfTheMillHandbook) {
  // Proves the three lines: W 20, 30, 50 -> 2, 3, 4.5 D, straight between (mill handbook 2018,
  // p. 90, Table 38).
  BendFacts facts;
  facts.od_mm = 60;
  facts.clr_mm = 180;
  for (const auto& [wall_factor, d_of_bend] :
       {std::pair{20.0, 2.0}, {25.0, 2.5}, {30.0, 3.0}, {40.0, 3.75}, {50.0, 4.5}}) {
    facts.wall_mm = 60 / wall_factor;
    const auto check = checked("mill-thin-radius", facts);
    EXPECT_NEAR(check.limit, d_of_bend, 1e-9) << wall_factor;
  }
  facts.wall_mm = 4;
  EXPECT_EQ(checked("mill-thin-radius", facts).verdict, Verdict::kOutsideRange);
  facts.wall_mm = 1;
  EXPECT_EQ(checked("mill-thin-radius", facts).verdict, Verdict::kOutsideRange);
}

TEST(RadiusRules, RadiusTolerance) {
  // Proves ±1 mm to R 200, ±1.5 to 400, ±2 above (public U-bend sheet, read), either sign.
  BendFacts facts;
  facts.radius_error_mm = -1.2;
  for (const auto& [clr_mm, verdict] :
       {std::pair{200.0, Verdict::kNotMet}, {400.0, Verdict::kMet}, {401.0, Verdict::kMet}}) {
    facts.clr_mm = clr_mm;
    EXPECT_EQ(checked("ubend-radius", facts).verdict, verdict);
  }
}

TEST(RadiusRules, RecalledTablesNeverDecide) {
  // Proves that aircraft line radii and EN 1090-2, both recalled, are unconfirmed either way.
  BendFacts facts;
  facts.od_mm = 12.7;
  facts.metal_family = "aluminium";
  for (const double clr_mm : {1.0, 1000.0}) {
    facts.clr_mm = clr_mm;
    EXPECT_EQ(checked("faa-line-radius", facts).verdict, Verdict::kUnconfirmed);
    EXPECT_EQ(checked("en1090-radius", facts).verdict, Verdict::kUnconfirmed);
  }
  EXPECT_NEAR(checked("en1090-radius", facts).limit, 112.7, 1e-9);
}

TEST(RadiusRules, NamesWhatIsMissing) {
  // Proves that each table asks for the fact it lacks.
  BendFacts facts;
  facts.clr_mm = 100;
  EXPECT_EQ(check_rule("nec-radius", facts).failure().where, "conduit trade size");
  facts.conduit_trade_size = "1";
  EXPECT_EQ(check_rule("nec-radius", facts).failure().where, "bender (one-shot or full-shoe?)");
  EXPECT_EQ(check_rule("cda-a4015-radius", facts).failure().where, "nominal copper size");
  facts.copper_nominal_in = 0.5;
  facts.copper_temper = "drawn";
  EXPECT_EQ(check_rule("cda-a4015-radius", facts).failure().where, "copper type");
  facts.od_mm = 20;
  EXPECT_EQ(check_rule("navedtra-radius", facts).failure().where, "metal family");
}

}  // namespace
}  // namespace bight::rules

#include "inspection/section_reading.h"

#include <gtest/gtest.h>

#include "inspection/sample_part_test_util.h"

namespace bight::inspection {
namespace {

Measured one_bend(double d_max_mm, double d_min_mm) {
  Measured piece;
  piece.bends.resize(1);
  piece.bends[0].d_max_mm = d_max_mm;
  piece.bends[0].d_min_mm = d_min_mm;
  return piece;
}

// 45 mm tube measured 46.1 and 42.0: ratio 0.911, met where at least 0.9 is asked; ovality 9.1 %
// (trade example; arithmetic).
TEST(SectionReadingReference, FortyFiveTube) {
  const part::Part part = sample::part(45, 2.5, {sample::row(200, 0, 90, 135)}, 200);
  const auto judged = *judge_sections(part, one_bend(46.1, 42.0), {135}, {"rollcage-round"});
  ASSERT_EQ(judged.size(), 1u);
  EXPECT_NEAR(judged[0].roundness->round_ratio, 0.911, 0.0005);
  EXPECT_NEAR(judged[0].roundness->of_nominal_ratio, 0.091, 0.0005);
  ASSERT_EQ(judged[0].checks.size(), 1u);
  EXPECT_EQ(judged[0].checks[0].verdict, rules::Verdict::kMet);
  EXPECT_NEAR(judged[0].checks[0].limit, 0.9, 1e-12);
}

// Three quarters of 12.7 mm are 9.53 mm: a fluid line that measures less across fails (the same).
TEST(SectionReadingReference, ThreeQuartersOfTheDiameter) {
  const part::Part part = sample::part(12.7, 0.9, {sample::row(80, 0, 90, 38)}, 80);
  const auto flat = *judge_sections(part, one_bend(13.2, 9.5), {38}, {"faa-line-flattening"});
  const auto sound = *judge_sections(part, one_bend(13.2, 9.55), {38}, {"faa-line-flattening"});
  ASSERT_EQ(flat[0].checks.size(), 1u);
  EXPECT_EQ(flat[0].checks[0].verdict, rules::Verdict::kNotMet);
  EXPECT_NE(sound[0].checks[0].verdict, rules::Verdict::kNotMet);
}

// A wall alone answers the wall rules and passes over those of roundness.
TEST(SectionReading, WallAlone) {
  part::Part part = sample::part(40, 2.0, {sample::row(200, 0, 90, 80)}, 200);
  part.rules = {"tema-thinning", "rollcage-round"};
  Measured piece;
  piece.bends.resize(1);
  piece.bends[0].wall_mm = 1.6;
  const auto judged = *judge_sections(part, piece, {80}, {});
  EXPECT_NEAR(*judged[0].wall_loss_ratio, 0.2, 1e-12);
  ASSERT_EQ(judged[0].checks.size(), 1u);
  EXPECT_EQ(judged[0].checks[0].rule_id, "tema-thinning");
}

TEST(SectionReading, RefusesWhatItCannotJudge) {
  const part::Part part = sample::part(45, 2.5, {sample::row(200, 0, 90)}, 200);
  EXPECT_EQ(judge_sections(part, one_bend(42, 46), {60}, {}).failure().code, "ovality.size");
  EXPECT_EQ(judge_sections(part, one_bend(46, 42), {60}, {"no such"}).failure().code,
            "rules.unknown");
  part::Part bar = part;
  bar.section = *stock::Section::round_bar(20);
  EXPECT_EQ(judge_sections(bar, one_bend(46, 42), {60}, {}).failure().code, "section.hollow");
  EXPECT_TRUE(judge_sections(part, Measured{}, {60}, {})->empty());
}

}  // namespace
}  // namespace bight::inspection

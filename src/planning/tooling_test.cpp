#include "planning/tooling.h"

#include <gtest/gtest.h>

#include "planning/planner.h"
#include "planning/sample_shop_test_util.h"

namespace bight::planning {
namespace {

using part::Severity;
using sample::find;
using sample::row;

// 1-1/2 tube against a die for 1-1/2 pipe: stop (the classic mix-up; common practice, no source).
TEST(ToolingReference, PipeDieOnTubeStops) {
  const Plan plan = *planning::plan(sample::u_part(), sample::shop(), {.wish = {"", "P145"}});
  const part::Finding* finding = find(plan.findings, "plan.groove");
  ASSERT_NE(finding, nullptr);
  EXPECT_EQ(finding->severity, Severity::kStop);
}

// Two radii in one part take two dies; the arcs follow each die's own radius, and the change is
// said. R 57 and 95, 90° each: 89.5 and 149.2 (arithmetic).
TEST(ToolingReference, TwoRadiiTwoDies) {
  workshop::Shop shop = sample::shop();
  shop.die_sets = {sample::die("Low", 57, 25), sample::die("High", 95, 25)};
  shop.die_sets[1].level = 2;
  part::Part part =
      sample::tube_part({row(300, 0, 90, 57), row(300, 0, 90, 95), row(300, 0, 90, 57)}, 300);
  part.section = *stock::Section::round_tube(25, 1.5);
  part.radii_are_die = true;
  const Plan plan = *planning::plan(part, shop);
  ASSERT_EQ(plan.steps.size(), 3u);
  EXPECT_EQ(plan.steps[0].die, "Low");
  EXPECT_EQ(plan.steps[1].die, "High");
  EXPECT_EQ(plan.steps[2].die, "Low");
  EXPECT_NEAR(part.table.rows()[0].arc_mm(), 89.5, 0.05);
  EXPECT_NEAR(part.table.rows()[1].arc_mm(), 149.2, 0.05);
  const part::Finding* change = find(plan.findings, "plan.die-change");
  ASSERT_NE(change, nullptr);
  EXPECT_NE(change->message.find("level"), std::string::npos);
}

TEST(Tooling, NoDieNamesTheNearest) {
  const Plan plan = *planning::plan(sample::tube_part({row(300, 0, 90, 95)}, 300), sample::shop());
  const part::Finding* finding = find(plan.findings, "plan.no-die");
  ASSERT_NE(finding, nullptr);
  EXPECT_EQ(finding->severity, Severity::kStop);
  EXPECT_NE(finding->remedy.find("D76"), std::string::npos) << finding->remedy;
  EXPECT_TRUE(plan.steps.empty());
  EXPECT_FALSE(plan.checks.empty());
}

TEST(Tooling, UnknownNamesAreRefused) {
  EXPECT_EQ(
      planning::plan(sample::u_part(), sample::shop(), {.wish = {"Nobody", ""}}).failure().code,
      "plan.unknown-bender");
  const auto no_die = planning::plan(sample::u_part(), sample::shop(), {.wish = {"", "D999"}});
  EXPECT_EQ(no_die.failure().code, "plan.unknown-die");
  EXPECT_NE(no_die.failure().remedy.find("D114"), std::string::npos);
}

TEST(Tooling, NoBenderStops) {
  workshop::Shop shop = sample::shop();
  shop.benders.clear();
  const Plan plan = *planning::plan(sample::u_part(), shop);
  EXPECT_NE(find(plan.findings, "plan.no-bender"), nullptr);
}

// A die that belongs to another bender is named with the reason.
TEST(Tooling, WishedDieMustGoOnTheBender) {
  workshop::Shop shop = sample::shop();
  shop.die_sets[0].benders = {"Other"};
  const Plan plan = *planning::plan(sample::u_part(), shop, {.wish = {"One", "D114"}});
  EXPECT_NE(find(plan.findings, "plan.die-not-on-bender"), nullptr);
}

TEST(Tooling, RadiusThatDiffersIsACaution) {
  const Plan plan = *planning::plan(sample::tube_part({row(300, 0, 90, 122)}, 300), sample::shop());
  const part::Finding* finding = find(plan.findings, "plan.radius-differs");
  ASSERT_NE(finding, nullptr);
  EXPECT_EQ(finding->severity, Severity::kCaution);
}

// A rectangular tube turned by a quarter needs a groove for its other way.
TEST(Tooling, RectangularTubeTakesADieForEachWay) {
  workshop::Shop shop = sample::shop();
  workshop::DieSet easy = sample::die("Easy", 90, 20);
  easy.groove = {false, 20, 40};
  workshop::DieSet hard = sample::die("Hard", 120, 40);
  hard.groove = {false, 40, 20};
  shop.die_sets = {easy, hard};
  part::Part part = sample::tube_part({row(300, 0, 90, 90), row(300, 90, 90, 120)}, 300);
  part.section = *stock::Section::rect_tube(20, 40, 2, 4);
  part.radii_are_die = true;
  const Plan plan = *planning::plan(part, shop);
  ASSERT_EQ(plan.steps.size(), 2u);
  EXPECT_EQ(plan.steps[0].die, "Easy");
  EXPECT_EQ(plan.steps[1].die, "Hard");
}

}  // namespace
}  // namespace bight::planning

#include "planning/keypad.h"

#include <gtest/gtest.h>

#include <cmath>

#include "planning/sample_shop_test_util.h"

namespace bight::planning {
namespace {

using base::Angle;
using enum KeypadColumn;

Angle deg(double value_deg) { return Angle::degrees(value_deg); }

// Straights 340, 180, 190 with two nineties of radius 60 and a rotation of 90° (a told need of the
// trade): set 94.64, arcs 94.2 long each.
Plan two_nineties() {
  const auto table =
      *geometry::BendTable::make({{340, Angle(), deg(90), 60}, {180, deg(90), deg(90), 60}}, 190);
  Plan plan{.part = {.name = "two nineties",
                     .section = *stock::Section::round_tube(25, 1.5),
                     .material = sample::steel(),
                     .table = table},
            .bent_table = table};
  plan.bender = workshop::Bender{
      .name = "Spoonbill", .kind = workshop::BenderKind::kCarriageFed, .speed_max_rpm = 8.0};
  workshop::DieSet die = sample::die("R60", 60, 25);
  plan.dies.push_back({die, {deg(1.04), 0.038, "two trials", true}, 60});
  const double arc_mm = 94.2;
  for (const std::size_t bend : {std::size_t{1}, std::size_t{2}}) {
    Step step;
    step.bend = bend;
    step.die = "R60";
    step.mark_mm = bend == 1 ? 340 : 340 + arc_mm + 180;
    step.mark_from_b_mm = 710 + 2 * arc_mm - step.mark_mm;
    step.rotation = bend == 1 ? Angle() : deg(90);
    step.wheel = step.rotation;
    step.angle = deg(90);
    step.set_angle = {deg(94), deg(94.638), deg(95)};
    step.arc_mm = arc_mm;
    step.speed_max_rpm = 3.37;
    plan.steps.push_back(step);
  }
  plan.blank.cut = {890, 710 + 2 * arc_mm, 900};
  return plan;
}

std::string row_text(const KeypadTable& table, std::size_t row) {
  std::string out;
  for (const KeypadCell& cell : table.rows[row].cells) out += cell.text + " ";
  return out;
}

TEST(Keypad, TypesFeedRotateBendWithCheckTotals) {
  const Plan plan = two_nineties();
  const auto table = keypad_table(plan, usual_keypad(*plan.bender));
  ASSERT_TRUE(table.ok());
  EXPECT_EQ(row_text(*table, 0), "340.0 0.0 90.0 4.6 3.3 ");
  EXPECT_EQ(row_text(*table, 1), "180.0 90.0 90.0 4.6 3.3 ");
  EXPECT_EQ(table->heads[0], "feed mm");
  EXPECT_EQ(table->totals, (std::vector<std::string>{"520.0", "90.0", "180.0", "9.2", ""}));
  // 340 + 180 + 190 are the part's 710.0 of straights.
  EXPECT_NEAR(520.0 + *table->last_straight_mm, 710.0, 1e-9);
  EXPECT_NEAR(520.0 + *table->last_straight_mm + *table->arcs_mm, plan.blank.cut.likely_mm, 1e-9);
  EXPECT_TRUE(table->findings.empty());
}

TEST(Keypad, FollowsTheProfilesOrderUnitsAndSteps) {
  const Plan plan = two_nineties();
  KeypadProfile profile;
  profile.columns = {kSet, kWheel, kMark, kSpeed, kDie, kBend};
  profile.unit = base::LengthUnit::kInch;
  profile.length_step_mm = 25.4 / 100;
  profile.angle_step = deg(0.5);
  profile.speed_in_percent = true;
  const auto table = keypad_table(plan, profile);
  ASSERT_TRUE(table.ok());
  // 340 mm are 13.386 in; 3.37 of 8 rpm are 42.1 %.
  EXPECT_EQ(row_text(*table, 0), "94.5 0.0 13.39 42 R60 1 ");
  EXPECT_EQ(table->totals[0], "189.0");
  EXPECT_EQ(table->totals[2], "");
  EXPECT_FALSE(table->last_straight_mm);
}

TEST(Keypad, AngleAndSpringbackAddUpToTheRoundedSetAngle) {
  Plan plan = two_nineties();
  plan.steps[0].angle = deg(67.26);
  plan.steps[0].set_angle.likely = deg(71.04);
  const auto table = keypad_table(plan, {.columns = {kAngle, kSpringback, kSet}});
  const auto& cells = table->rows[0].cells;
  EXPECT_EQ(cells[0].text, "67.3");
  EXPECT_EQ(cells[1].text, "3.7");
  EXPECT_EQ(cells[2].text, "71.0");
  EXPECT_NEAR(*cells[0].value + *cells[1].value, *cells[2].value, 1e-9);
}

TEST(Keypad, RotationsAreHalfOrFullCircle) {
  Plan plan = two_nineties();
  plan.steps[1].rotation = deg(-120.5);
  EXPECT_EQ(keypad_table(plan, {.columns = {kRotate}})->rows[1].cells[0].text, "-120.5");
  EXPECT_EQ(keypad_table(plan, {.columns = {kRotate}, .rotation_full_circle = true})
                ->rows[1]
                .cells[0]
                .text,
            "239.5");
}

TEST(Keypad, FromEndBTheFeedsCountFromThere) {
  Plan plan = two_nineties();
  plan.blank.front = End::kB;
  std::swap(plan.steps[0], plan.steps[1]);
  for (Step& step : plan.steps) {
    // The die's tangent point lies at the bend's end nearer B now.
    step.mark_mm += step.arc_mm;
    step.mark_from_b_mm -= step.arc_mm;
    step.side = MarkSide::kTowardsA;
  }
  const auto table = keypad_table(plan, {.columns = {kFeed}});
  EXPECT_EQ(table->rows[0].cells[0].text, "190.0");
  EXPECT_EQ(table->rows[1].cells[0].text, "180.0");
  EXPECT_NEAR(*table->last_straight_mm, 340.0, 1e-9);
  // A mark counted from there says so: on the tube's drawing it counts from end A.
  const KeypadProfile by_marks{.columns = {KeypadColumn::kMark}};
  EXPECT_EQ(keypad_table(plan, by_marks)->heads[0], "mark from B mm");
  EXPECT_EQ(keypad_table(two_nineties(), by_marks)->heads[0], "mark mm");
}

TEST(Keypad, SaysWhatACardCannotHide) {
  Plan plan = two_nineties();
  std::swap(plan.steps[0], plan.steps[1]);
  plan.steps[0].speed_max_rpm.reset();
  plan.dies[0].law.proven = false;
  const auto table = keypad_table(plan, usual_keypad(*plan.bender));
  ASSERT_EQ(table->findings.size(), 3u);
  EXPECT_EQ(table->findings[0].code, "keypad.order");
  EXPECT_EQ(table->findings[1].code, "keypad.speed");
  EXPECT_EQ(table->findings[2].code, "keypad.unproven");
  EXPECT_EQ(table->rows[0].cells.back().text, "–");
}

// A rotation that begins at another bend than the one made before is said: keypads add them up.
TEST(Keypad, SaysFromWhereARotationCounts) {
  Plan plan = two_nineties();
  plan.steps[1].rotation_from = 1;
  EXPECT_TRUE(keypad_table(plan, {.columns = {kRotate}})->findings.empty());
  plan.steps[1].wheel_reset = true;
  const auto table = keypad_table(plan, {.columns = {kRotate}});
  ASSERT_EQ(table->findings.size(), 1u);
  EXPECT_EQ(table->findings[0].code, "keypad.rotation");
  EXPECT_EQ(table->findings[0].bend, 2u);
  EXPECT_TRUE(table->findings[0].message.ends_with("step 2 from bend 1"));
  EXPECT_TRUE(keypad_table(plan, {.columns = {kWheel}})->findings.empty());
}

TEST(Keypad, RefusesProfilesThatCannotBe) {
  const Plan plan = two_nineties();
  EXPECT_EQ(keypad_table(plan, {}).failure().code, "keypad.profile");
  EXPECT_EQ(keypad_table(plan, {.columns = {kSet, kSet}}).failure().code, "keypad.profile");
  EXPECT_EQ(keypad_table(plan, {.columns = {kSet}, .length_step_mm = 0}).failure().code,
            "keypad.profile");
  Plan none = plan;
  none.steps.clear();
  EXPECT_EQ(keypad_table(none, {.columns = {kSet}}).failure().code, "keypad.bender");
  EXPECT_EQ(keypad_column("feeed").failure().code, "keypad.column");
  for (int i = 0; i < kNumKeypadColumns; ++i) {
    const auto column = static_cast<KeypadColumn>(i);
    EXPECT_EQ(*keypad_column(keypad_word(column)), column);
  }
}

}  // namespace
}  // namespace bight::planning

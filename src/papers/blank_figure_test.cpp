#include "papers/blank_figure.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "papers/printed_test_util.h"
#include "papers/sample_plans_test_util.h"

namespace bight::papers {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

const Wording kMetric{{}};

std::string blank_of(const planning::Plan& plan) {
  return printed::drawn_block(plan, kMetric,
                              [](const Writer& writer) { return blank_block(writer, 190.0); });
}

// The word as it stands in the figure, right of the panel of words.
const printed::Word& word(const std::vector<printed::Word>& words, const std::string& text) {
  for (const printed::Word& w : words) {
    if (w.text == text && w.box.x_mm > 58.0) return w;
  }
  ADD_FAILURE() << text << " is not printed";
  return words.front();
}

// Cut length with its band, said to be unproven until it is not.
TEST(BlankFigure, CutLength) {
  const std::string text = printed::text_of(blank_of(sample::three_d()));
  EXPECT_THAT(text, HasSubstr("CUT 1447.6 mm"));
  EXPECT_THAT(text, HasSubstr("1446.2 – 1451.4"));
  EXPECT_THAT(text, HasSubstr("UNPROVEN"));
  EXPECT_THAT(text, HasSubstr("grip 35.0"));
  EXPECT_THAT(text, HasSubstr("grip 50.0"));
  EXPECT_THAT(text, HasSubstr("clamp end A first"));
  const std::string proven = printed::text_of(blank_of(sample::planar_u()));
  EXPECT_THAT(proven, HasSubstr("Length proven"));
  EXPECT_THAT(proven, Not(HasSubstr("UNPROVEN")));
}

// Marks stand over the bar at their share of its length, between the letters of the ends.
TEST(BlankFigure, MarksToScale) {
  const planning::Plan plan = sample::three_d();
  const auto words = printed::words_of(blank_of(plan));
  const double a_mm = word(words, "A").box.centre().x_mm;
  const double b_mm = word(words, "B").box.centre().x_mm;
  // The bar begins and ends 4.4 mm inside the letters' middles.
  const double left_mm = a_mm + 4.4;
  const double length_mm = b_mm - a_mm - 8.8;
  for (std::size_t i = 0; i < plan.steps.size(); ++i) {
    const auto& label = word(words, kMetric.length(plan.steps[i].mark_mm));
    const auto& number = word(words, std::to_string(i + 1) + ":");
    const double middle_mm = (number.box.x_mm + label.box.right_mm()) / 2.0;
    EXPECT_NEAR(middle_mm, left_mm + length_mm * plan.steps[i].mark_mm / plan.blank.cut.likely_mm,
                0.6);
  }
}

// Crowded marks are staggered, never set over each other; the block stays within its height.
TEST(BlankFigure, CrowdedMarks) {
  for (const auto& [name, plan] : sample::all()) {
    SCOPED_TRACE(name);
    printed::expect_tidy(blank_of(plan));
  }
  planning::Plan crowded = sample::twelve_bends();
  for (planning::Step& step : crowded.steps) step.mark_mm = 1900.0 + step.mark_mm / 20.0;
  const std::string pdf = blank_of(crowded);
  printed::expect_tidy(pdf);
}

// Worked in another order than the bends lie, both numbers are said.
TEST(BlankFigure, OtherOrder) {
  planning::Plan plan = sample::three_d();
  std::swap(plan.steps[0], plan.steps[1]);
  EXPECT_THAT(printed::text_of(blank_of(plan)), HasSubstr("1 (bend 2): 736.5"));
}

// Grip and trim of an end that is clamped last, and of a blank that starts at B.
TEST(BlankFigure, FrontAtB) {
  planning::Plan plan = sample::planar_u();
  plan.blank.front = planning::End::kB;
  plan.blank.grip_front_mm = 40.0;
  plan.blank.trim_front_mm = 60.0;
  plan.blank.grip_back_mm = 0.0;
  plan.blank.trim_back_mm = 25.0;
  const auto words = printed::words_of(blank_of(plan));
  EXPECT_GT(word(words, "40.0").box.x_mm, word(words, "60.0").box.x_mm);
  EXPECT_GT(word(words, "60.0").box.x_mm, word(words, "25.0").box.x_mm);
}

// No blank: nothing to cut, and it says so.
TEST(BlankFigure, NoBlank) {
  EXPECT_THAT(printed::text_of(blank_of(sample::stopped())), HasSubstr("cut nothing"));
}

}  // namespace
}  // namespace bight::papers

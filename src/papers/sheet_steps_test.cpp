#include "papers/sheet_steps.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "papers/printed_test_util.h"
#include "papers/sample_plans_test_util.h"

namespace bight::papers {
namespace {

using ::testing::HasSubstr;

std::string steps_of(const planning::Plan& plan, double stretch_mm = 0.0) {
  const Wording wording({});
  return printed::drawn([&](Canvas& canvas) {
    const Writer writer{plan, wording, canvas, ""};
    double y_mm = 10.0;
    const auto put = [&](const Block& block) {
      block.draw(canvas, {10.0, y_mm, 190.0, block.height_mm});
      y_mm += block.height_mm;
    };
    put(steps_heading(writer));
    for (const Block& row : step_rows(writer, stretch_mm)) put(row);
    if (const auto note = steps_note(writer, 190.0)) put(*note);
  });
}

// One line of print per step holds its numbers, in the order of working.
TEST(SheetSteps, EveryNumber) {
  const planning::Plan plan = sample::three_d();
  const std::string text = printed::text_of(steps_of(plan));
  const Wording wording({});
  std::size_t at = 0;
  for (const planning::Step& step : plan.steps) {
    for (const std::string& number :
         {wording.length(step.mark_mm), wording.length(step.mark_from_b_mm),
          wording.signed_angle(step.rotation), wording.angle(step.wheel), wording.angle(step.angle),
          wording.set_angle(step.set_angle.likely), wording.set_band(step.set_angle),
          wording.length(step.arc_mm), wording.length(step.straight_mm)}) {
      EXPECT_THAT(text, HasSubstr(number));
    }
    const std::size_t found = text.find(wording.length(step.mark_mm));
    EXPECT_GE(found, at);
    at = found;
  }
  EXPECT_THAT(text, HasSubstr("towards B"));
  EXPECT_THAT(text, HasSubstr("812 N·m"));
}

// The die's own line is printed once proven; marks on the other side say so.
TEST(SheetSteps, DieLineAndSide) {
  const std::string pdf = steps_of(sample::planar_u());
  const std::string text = printed::text_of(pdf);
  EXPECT_THAT(text, HasSubstr("die line 799.3"));
  EXPECT_THAT(text, HasSubstr("towards A"));
  EXPECT_THAT(text, HasSubstr("2.5 rpm (step 2)"));
  printed::expect_tidy(pdf);
}

// Step numbers are at least 12 point and nothing in the table is below 8, from the PDF itself: a
// line of type of n points is 1.362 n high (Noto Sans: ascent 1.069, descent 0.293).
TEST(SheetSteps, TypeIsLarge) {
  const auto words = printed::words_of(steps_of(sample::twelve_bends()));
  double least_mm = 1e9;
  bool seen = false;
  for (const printed::Word& w : words) {
    least_mm = std::min(least_mm, w.box.height_mm);
    if (w.text == "11" && w.box.x_mm < 20.0) {
      seen = true;
      EXPECT_GE(w.box.height_mm, 12.0 * 1.36 * kMmPerPoint);
    }
  }
  EXPECT_TRUE(seen);
  EXPECT_GE(least_mm, 8.0 * 1.36 * kMmPerPoint);
}

// Twelve rows, plain or stretched, long inch fractions: nothing on top of anything.
TEST(SheetSteps, Tidy) {
  for (const auto& [name, plan] : sample::all()) {
    SCOPED_TRACE(name);
    printed::expect_tidy(steps_of(plan));
    printed::expect_tidy(steps_of(plan, 2.0));
  }
}

// Values that differ are listed with their steps.
TEST(SheetSteps, TorqueByStep) {
  const std::string text = printed::text_of(steps_of(sample::twelve_bends()));
  EXPECT_THAT(text, HasSubstr("640 N·m (steps 1, 3, 5, 7, 9, 11)"));
}

// No steps: one row says so, without a number to bend by.
TEST(SheetSteps, None) {
  const auto canvas = open_canvas({}).value();
  const planning::Plan plan = sample::stopped();
  const Wording wording({});
  const Writer writer{plan, wording, *canvas, ""};
  EXPECT_EQ(step_rows(writer).size(), 1u);
  EXPECT_FALSE(steps_note(writer, 190.0));
}

}  // namespace
}  // namespace bight::papers

#include "papers/sheet_after.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "papers/printed_test_util.h"
#include "papers/sample_plans_test_util.h"
#include "papers/sheet.h"
#include "planning/after_steps.h"

namespace bight::papers {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

// The sample worked in another order, with a turn end for end in the middle.
planning::Plan reordered(planning::Plan plan) {
  std::rotate(plan.steps.begin(), plan.steps.begin() + 1, plan.steps.end());
  for (planning::Step& step : plan.steps) {
    plan.order.bends.push_back({step.bend - 1, planning::End::kA});
  }
  plan.order.name = "bends 2, 3, 1";
  plan.steps.back().flipped = true;
  plan.steps.back().front = planning::End::kB;
  plan.steps.back().rotation_from = 2;
  plan.steps.back().wheel_reset = true;
  plan.order.num_flips = 1;
  return plan;
}

std::string pdf_of(const planning::Plan& plan, Paper paper, bool inch) {
  SheetOptions options;
  options.paper = paper;
  options.date = "12 May 2025";
  if (inch) {
    options.length.unit = base::LengthUnit::kInch;
    options.length.decimals = 3;
  }
  return sheet_files(plan, options, Format::kPdf)->front();
}

// Every picture with its two lengths stands on the sheet, no word over another, on both papers and
// in both units; the turn end for end is told at its step.
TEST(SheetAfter, PicturesWithTheirLengths) {
  for (const bool many : {false, true}) {
    const planning::Plan plan = reordered(many ? sample::twelve_bends() : sample::three_d());
    for (const bool inch : {false, true}) {
      const std::string pdf = pdf_of(plan, inch ? Paper::kLetter : Paper::kA4, inch);
      printed::expect_tidy(pdf, 5.0);
      const std::string text = printed::flowing_text_of(pdf);
      EXPECT_THAT(text, HasSubstr("After step 1, bend 2"));
      EXPECT_THAT(text, HasSubstr("After step 2, bends 2, 3"));
      EXPECT_THAT(text, HasSubstr("Turn the tube end for end: end B goes ahead from here"));
      EXPECT_THAT(text, HasSubstr("bend 2 flat"));
      EXPECT_THAT(text, HasSubstr("Order: bends 2, 3, 1, one turn end for end"));
      base::LengthStyle style;
      if (inch) {
        style.unit = base::LengthUnit::kInch;
        style.decimals = 3;
      }
      const Wording wording(style);
      const auto all = planning::after_steps(plan, style);
      for (std::size_t i = 0; i + 1 < all.size(); ++i) {
        for (const planning::CheckDimension& check : all[i].checks) {
          EXPECT_THAT(text, HasSubstr(wording.length(check.value_mm))) << check.label;
        }
      }
      // The last step leaves the part, which is drawn at the head.
      EXPECT_THAT(text, Not(HasSubstr(fmt::format("After step {},", all.size()))));
    }
  }
}

// Nothing to show after a single bend, or of a plan without an order.
TEST(SheetAfter, NothingToShow) {
  EXPECT_THAT(printed::text_of(pdf_of(sample::three_d(), Paper::kA4, false)),
              Not(HasSubstr("After step")));
  EXPECT_THAT(printed::text_of(pdf_of(sample::stopped(), Paper::kA4, false)),
              Not(HasSubstr("After step")));
}

}  // namespace
}  // namespace bight::papers

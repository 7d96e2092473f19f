#include "app/clear_text.h"

#include <gtest/gtest.h>

namespace bight::app {
namespace {

// A plan of two steps with answers made up for the purpose.
TEST(ClearText, SaysWhatAndWhen) {
  part::Part part{
      .name = "Rail",
      .tube_text = "25 x 1.5",
      .section = *stock::Section::round_tube(25, 1.5),
      .material = {.name = "test steel"},
      .table = *geometry::BendTable::make({{300, base::Angle(), base::Angle::degrees(90), 60},
                                           {200, base::Angle(), base::Angle::degrees(45), 60}},
                                          190)};
  planning::Plan plan{.part = part, .bent_table = part.table};
  plan.steps = {{.bend = 1, .die = "D60"}, {.bend = 2, .die = "D60"}};
  planning::Clearing clearing;
  clearing.bender.name = "One";
  clearing.tube.bends.resize(2);
  clearing.steps.resize(2);
  clearing.steps[1].bend = 1;
  clearing.steps[1].front = clearance::Front::kEndB;
  std::vector<planning::StepAnswer> answers(2);
  answers[0].clearance.not_checked = {"sag of long legs is left out"};
  clearance::Nearest near;
  near.low_mm = 31.24;
  near.high_mm = 31.3;
  near.body = "arm";
  near.stage = clearance::Stage::kBend;
  near.angle = base::Angle::degrees(63.5);
  near.along_mm = 412;
  answers[0].clearance.nearest = near;
  near.low_mm = -12.5;
  near.body = "operator's place";
  near.keep_out = true;
  near.stage = clearance::Stage::kLift;
  answers[1].clearance.nearest = near;
  answers[1].limits = {{"clearance.travel", 900, 800, "too far"}};
  const std::string text = clear_text(plan, clearing, answers, {}, false);
  for (const char* wanted :
       {"bender    One", "step 1    bend 1, die D60, end A ahead\n",
        "31.2 mm from arm while it bends, with the die at 63.5°; 412.0 mm from end A of the blank",
        "end B ahead, turned end for end",
        "HITS operator's place (keep out) by up to 12.5 mm while it is lifted out", "STOP: too far",
        "clearance.travel", "1 of 2 steps do not work",
        "not compared: sag of long legs is left out"}) {
    EXPECT_NE(text.find(wanted), std::string::npos) << wanted << "\n" << text;
  }
  EXPECT_EQ(text.find('\033'), std::string::npos);
  EXPECT_NE(clear_text(plan, clearing, answers, {}, true).find("\033[1;31m"), std::string::npos);
  answers.resize(1);
  clearing.steps.resize(1);
  EXPECT_NE(clear_text(plan, clearing, answers, {}, false).find("All 1 steps clear"),
            std::string::npos);
}

}  // namespace
}  // namespace bight::app

#include "planning/clearance_words.h"

#include <gtest/gtest.h>

namespace bight::planning {
namespace {

TEST(ClearanceWords, SaysWhereAndWhen) {
  clearance::Nearest near;
  near.body = "floor";
  near.stage = clearance::Stage::kBend;
  near.angle = base::Angle::degrees(54.3);
  EXPECT_EQ(when(near), "while it bends, with the die at 54.3°");
  EXPECT_EQ(the_body(near), "the floor");
  near.body = "the tube itself";
  EXPECT_EQ(the_body(near), "the tube itself");
  near.body = "die 38R114";
  EXPECT_EQ(the_body(near), "die 38R114");
  near.body = "operator's place";
  near.keep_out = true;
  EXPECT_EQ(the_body(near), "the operator's place");
  EXPECT_EQ(what(near), "operator's place (keep out)");
  for (int stage = 0; stage <= static_cast<int>(clearance::Stage::kReturn); ++stage) {
    near.stage = static_cast<clearance::Stage>(stage);
    EXPECT_TRUE(when(near).starts_with("while ")) << stage;
  }
}

// Rounded down: 31.29 mm is not 31.3 mm of room; what is even stays.
TEST(ClearanceWords, NeverMoreThanIsSure) {
  EXPECT_EQ(say_at_least(31.29, {}), "31.2 mm");
  EXPECT_EQ(say_at_least(31.3, {}), "31.3 mm");
  base::LengthStyle inch;
  inch.unit = base::LengthUnit::kInch;
  inch.form = base::LengthStyle::Form::kFraction;
  EXPECT_EQ(say_at_least(25.4 * 0.99, inch), "15/16\"");
}

}  // namespace
}  // namespace bight::planning

#include "planning/words.h"

#include <gtest/gtest.h>

namespace bight::planning {
namespace {

TEST(Words, FollowTheStyle) {
  EXPECT_EQ(say(38.1, {}), "38.1 mm");
  EXPECT_EQ(say(38.1, {.unit = base::LengthUnit::kInch, .decimals = 3}), "1.500\"");
  EXPECT_EQ(say(base::Angle::degrees(47.86)), "47.9°");
}

}  // namespace
}  // namespace bight::planning

#include "planning/plan.h"

#include <gtest/gtest.h>

namespace bight::planning {
namespace {

// The tighter of machine and tube itself.
TEST(Plan, NearestOfAStep) {
  StepClearing found;
  EXPECT_FALSE(found.nearest().has_value());
  found.clearance.itself = clearance::Nearest{.low_mm = 30};
  EXPECT_EQ(found.nearest()->low_mm, 30);
  found.clearance.nearest = clearance::Nearest{.low_mm = 40};
  EXPECT_EQ(found.nearest()->low_mm, 30);
  found.clearance.nearest->low_mm = -1;
  EXPECT_EQ(found.nearest()->low_mm, -1);
  EXPECT_TRUE(found.stops());
}

}  // namespace
}  // namespace bight::planning

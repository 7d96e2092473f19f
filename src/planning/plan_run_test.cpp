#include "planning/plan_run.h"

#include <gtest/gtest.h>

#include "planning/planner.h"
#include "planning/sample_shop_test_util.h"

namespace bight::planning {
namespace {

// The run has the plan's bends in the order of working, and can be.
TEST(PlanRun, StepsInTheOrderOfWorking) {
  PlanOptions options;
  options.from = End::kB;
  const Plan made = *plan(sample::u_part(), sample::shop(), options);
  const running::Run run = run_of_plan(made, 7);
  EXPECT_EQ(run.pieces_wanted, 7);
  ASSERT_EQ(run.steps.size(), 2u);
  EXPECT_EQ(run.steps[0].bend, 2);
  EXPECT_EQ(run.steps[0].die, "D114");
  EXPECT_EQ(run.steps[0].set, made.steps[0].set_angle.likely);
  EXPECT_TRUE(running::check_run(run).ok());
}

}  // namespace
}  // namespace bight::planning

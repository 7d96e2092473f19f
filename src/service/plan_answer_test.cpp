#include "service/plan_answer.h"

#include "service/plan_answer_test_util.h"

namespace bight::service {
namespace {

using test::Json;
using test::PlanAnswerTest;

TEST_F(PlanAnswerTest, HoldsThePlanAndAllThatIsShownBesideIt) {
  furnish();
  const Json all = answer(test::rail());
  EXPECT_EQ(all["plan"]["steps"].size(), 2u);
  for (const char* key : {"table", "bent", "tooling", "benders", "arithmetic", "remedies"}) {
    EXPECT_TRUE(all.contains(key)) << key;
  }
}

TEST_F(PlanAnswerTest, AnEmptyShopStillAnswers) {
  const Json all = answer(test::rail());
  EXPECT_EQ(all["plan"]["steps"].size(), 0u);
  EXPECT_TRUE(all["plan"]["bender"].is_null());
}

}  // namespace
}  // namespace bight::service

#include "service/plan_arithmetic.h"

#include <set>

#include "service/plan_answer_test_util.h"

namespace bight::service {
namespace {

using test::Json;

class PlanArithmeticTest : public test::PlanAnswerTest {};

// Every entry tells a number that stands in the plan, and its formula gives that number.
void expect_it_holds(const Json& all) {
  std::set<std::string> keys;
  for (const Json& sum : all["arithmetic"]) {
    EXPECT_NEAR(test::worked(sum), sum["value"].get<double>(), 1e-6) << sum.dump();
    std::string key = sum["key"];
    EXPECT_TRUE(keys.insert(key).second) << key;
    for (char& c : key) c = c == '.' || c == '[' ? '/' : c;
    std::erase(key, ']');
    const Json& shown = all["plan"].at(Json::json_pointer("/" + key));
    EXPECT_NEAR(shown.get<double>(), sum["value"].get<double>(), 1e-6) << sum["key"];
  }
}

TEST_F(PlanArithmeticTest, FormulasGiveTheNumbersOfThePlan) {
  furnish();
  for (const planning::End from : {planning::End::kA, planning::End::kB}) {
    PlanWish from_end = wish(test::rail());
    from_end.options.from = from;
    const Json all = answer(test::rail(), from_end);
    expect_it_holds(all);
    for (const char* key :
         {"blank.cut_length_mm", "blank.cut_length_low_mm", "mass_kg", "metal[0].wall_factor",
          "springbacks[0].a_deg", "steps[0].set_angle_deg", "steps[1].set_high_deg",
          "steps[1].rotation_deg", "steps[1].wheel_deg", "steps[1].mark_from_b_mm",
          "checks[0].value_mm", "checks[3].value_mm"}) {
      EXPECT_FALSE(test::sum_of(all, key).is_null()) << key;
    }
  }
}

// What a tape can check is known of the drawing alone.
TEST_F(PlanArithmeticTest, WithoutStepsOnlyTheShapeHasIt) {
  const Json all = answer(test::rail());
  expect_it_holds(all);
  for (const Json& sum : all["arithmetic"]) {
    const std::string key = sum["key"];
    EXPECT_TRUE(key.starts_with("checks[") || key.starts_with("seam.")) << key;
  }
}

}  // namespace
}  // namespace bight::service

#include "service/step_sums.h"

#include <cmath>

#include "service/plan_answer_test_util.h"

namespace bight::service {
namespace {

using test::Json;

class StepSumsTest : public test::PlanAnswerTest {
 protected:
  Json on_bender(const Json& facts) {
    furnish();
    Json bender = {
        {"name", "B2"}, {"size_max", 60}, {"die_radius_max", 200}, {"torque_max_nm", 9000}};
    bender.update(facts);
    put("bender", "b2", bender);
    PlanWish on_b2 = wish(test::rail());
    on_b2.options.wish.bender = "B2";
    return answer(test::rail(), on_b2);
  }
};

double input(const Json& sum, const std::string& symbol) {
  for (const Json& one : sum["inputs"]) {
    if (one["symbol"] == symbol) return one["value"];
  }
  ADD_FAILURE() << sum.dump();
  return std::nan("");
}

// A wheel whose zero is not 0.
TEST_F(StepSumsTest, TheWheelGoesOnFromWhereItStood) {
  const Json all = on_bender({{"wheel_zero", 30}});
  EXPECT_NEAR(test::sum_of(all, "steps[0].wheel_deg")["value"], 30.0, 1e-9);
  const Json second = test::sum_of(all, "steps[1].wheel_deg");
  EXPECT_NEAR(input(second, "w"), 30.0, 1e-9);
  EXPECT_EQ(input(second, "n"), 1.0);
  EXPECT_NEAR(test::worked(second), all["plan"]["steps"][1]["wheel_deg"], 1e-6);
}

TEST_F(StepSumsTest, AWheelMayCountAgainstTheTurn) {
  const Json all = on_bender({{"wheel_counts_backwards", true}});
  const Json second = test::sum_of(all, "steps[1].wheel_deg");
  EXPECT_EQ(input(second, "n"), -1.0);
  EXPECT_NEAR(test::worked(second), all["plan"]["steps"][1]["wheel_deg"], 1e-6);
}

// The band lies about the set angle, the cut length's about the cut length.
TEST_F(StepSumsTest, BandsLieAboutWhatIsLikely) {
  furnish();
  const Json all = answer(test::rail());
  const auto value = [&](const char* key) { return test::sum_of(all, key)["value"].get<double>(); };
  EXPECT_LT(value("steps[0].set_low_deg"), value("steps[0].set_angle_deg"));
  EXPECT_LT(value("steps[0].set_angle_deg"), value("steps[0].set_high_deg"));
  EXPECT_LT(value("blank.cut_length_low_mm"), value("blank.cut_length_mm"));
  EXPECT_LE(value("blank.cut_length_mm"), value("blank.cut_length_high_mm"));
}

}  // namespace
}  // namespace bight::service

#include "service/metal_sums.h"

#include "service/plan_answer_test_util.h"

namespace bight::service {
namespace {

using test::Json;

class MetalSumsTest : public test::PlanAnswerTest {};

// 25 x 1.5 in a die of 76.
TEST_F(MetalSumsTest, TheTubesSizeStandsInItsRatios) {
  furnish();
  const Json all = answer(test::rail());
  for (const char* key : {"metal[0].wall_factor", "metal[0].d_of_bend", "metal[0].outer_strain"}) {
    std::map<std::string, double> inputs;
    const Json sum = test::sum_of(all, key);
    for (const Json& input : sum["inputs"]) inputs[input["symbol"]] = input["value"];
    EXPECT_NEAR(inputs["D"], 25.0, 1e-6) << key;
  }
  EXPECT_NEAR(test::sum_of(all, "metal[0].wall_factor")["value"], 25.0 / 1.5, 1e-9);
}

// The bender's own speed while its motor holds it, the motor's power beyond that.
TEST_F(MetalSumsTest, TheFastestTurnIsTheBendersOrTheMotors) {
  furnish();
  put("bender", "b2",
      {{"name", "B2"},
       {"size_max", 60},
       {"die_radius_max", 200},
       {"torque_max_nm", 9000},
       {"speed_max_rpm", 4},
       {"power_w", 9000}});
  const auto speed_on = [&](double power_w) {
    Json bender = json(ask("GET", "/records/bender/b2"));
    bender["document"]["power_w"] = power_w;
    ask("PUT", "/records/bender/b2", Json{{"document", bender["document"]}}.dump(),
        {{"if-match", "\"r" + bender["revision"].dump() + "\""}});
    PlanWish on_b2 = wish(test::rail());
    on_b2.options.wish.bender = "B2";
    const Json all = answer(test::rail(), on_b2);
    const Json sum = test::sum_of(all, "metal[0].speed.advised_rpm");
    EXPECT_NEAR(test::worked(sum), all["plan"]["metal"][0]["speed"]["advised_rpm"], 1e-6);
    return sum;
  };
  EXPECT_EQ(speed_on(9000)["formula"], "h * n");
  EXPECT_EQ(speed_on(20)["formula"], "h * 60 * P * e / (2 * pi * T)");
}

}  // namespace
}  // namespace bight::service

#include "service/plan_arithmetic.h"

#include <cmath>
#include <numbers>

#include "service/plan_answer_test_util.h"

namespace bight::service {
namespace {

using test::Json;

class PlanArithmeticTest : public test::PlanAnswerTest {};

double input(const Json& sum, const std::string& symbol) {
  for (const Json& one : sum["inputs"]) {
    if (one["symbol"] == symbol) return one["value"];
  }
  ADD_FAILURE() << sum.dump();
  return std::nan("");
}

// Each formula worked out here, by hand, from its inputs.
double worked(const Json& sum) {
  const std::string formula = sum["formula"];
  const auto v = [&](const char* symbol) { return input(sum, symbol); };
  if (formula == "(angle + a) / (1 - b)") return (v("angle") + v("a")) / (1 - v("b"));
  if (formula == "k * R * angle * pi / 180") {
    return v("k") * v("R") * v("angle") * std::numbers::pi / 180;
  }
  if (formula == "R_die / (1 - b)") return v("R_die") / (1 - v("b"));
  if (formula == "R_die * g") return v("R_die") * v("g");
  if (formula == "e + s + l") return v("e") + v("s") + v("l");
  if (formula == "L - m") return v("L") - v("m");
  if (formula == "s + l + g + t") return v("s") + v("l") + v("g") + v("t");
  if (formula == "d - p - q") return v("d") - v("p") - v("q");
  if (formula == "D / t") return v("D") / v("t");
  if (formula == "R_die / D") return v("R_die") / v("D");
  if (formula == "(low + high) / 2") return (v("low") + v("high")) / 2;
  if (formula == "(D / 2 + z) / (R_die - z)") return (v("D") / 2 + v("z")) / (v("R_die") - v("z"));
  if (formula == "t * w") return v("t") * v("w");
  if (formula == "100 * d / D") return 100 * v("d") / v("D");
  if (formula == "h * n") return v("h") * v("n");
  if (formula == "h * 60 * P * e / (2 * pi * T)") {
    return v("h") * 60 * v("P") * v("e") / (2 * std::numbers::pi * v("T"));
  }
  if (formula == "s - b * set") return v("s") - v("b") * v("set");
  if (formula == "n * r") return v("n") * v("r");
  if (formula == "m * L / 1000") return v("m") * v("L") / 1000;
  ADD_FAILURE() << formula;
  return std::nan("");
}

TEST_F(PlanArithmeticTest, FormulasGiveTheNumbersOfThePlan) {
  furnish();
  for (const planning::End from : {planning::End::kA, planning::End::kB}) {
    PlanWish from_end = wish(test::rail());
    from_end.options.from = from;
    const Json all = answer(test::rail(), from_end);
    // Blank and mass; six of the metal; the law; six a step, and the turn of the second.
    EXPECT_EQ(all["arithmetic"].size(), 2u + 6u + 1u + 2u * 6u + 1u);
    for (const Json& sum : all["arithmetic"]) {
      // 25 x 1.5 in a die of 76.
      if (sum["formula"] == "D / t" || sum["formula"] == "R_die / D") {
        EXPECT_NEAR(input(sum, "D"), 25.0, 1e-6);
      }
      EXPECT_NEAR(worked(sum), sum["value"].get<double>(), 1e-6) << sum.dump();
      std::string key = sum["key"];
      for (char& c : key) c = c == '.' || c == '[' ? '/' : c;
      std::erase(key, ']');
      const Json& shown = all["plan"].at(Json::json_pointer("/" + key));
      EXPECT_NEAR(shown.get<double>(), sum["value"].get<double>(), 1e-6) << sum["key"];
    }
  }
}

// The bender's own speed while its motor holds it, the motor's power beyond that.
TEST_F(PlanArithmeticTest, TheFastestTurnIsTheBendersOrTheMotors) {
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
    for (const Json& sum : all["arithmetic"]) {
      if (sum["key"] != "metal[0].speed.advised_rpm") continue;
      EXPECT_NEAR(worked(sum), all["plan"]["metal"][0]["speed"]["advised_rpm"], 1e-6);
      return sum;
    }
    ADD_FAILURE() << all["plan"]["metal"].dump();
    return Json();
  };
  EXPECT_EQ(speed_on(9000)["formula"], "h * n");
  EXPECT_EQ(speed_on(20)["formula"], "h * 60 * P * e / (2 * pi * T)");
}

TEST_F(PlanArithmeticTest, WithoutStepsThereIsNone) {
  EXPECT_EQ(answer(test::rail())["arithmetic"].size(), 0u);
}

}  // namespace
}  // namespace bight::service

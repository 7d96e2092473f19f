#include "mechanics/roll_log.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>

namespace bight::mechanics {
namespace {

TEST(RollLog, TwoPassesGiveTheNext) {
  // Proves the ring roller's example: 20.0 -> 3200 and 24.0 -> 2100 give 28.65 for 1500, stop at
  // 28.1; 1560 measured there gives 28.74. Linear curvature: common practice, no source; the
  // numbers were worked by hand from it.
  std::vector<LoggedPass> passes{{20.0, 3200}, {24.0, 2100}};
  const auto next = next_pass(passes, 1500);
  ASSERT_TRUE(next.ok());
  EXPECT_NEAR(next->curvature_per_mm2, 4.09e-5, 5e-8);
  EXPECT_NEAR(next->position_mm, 28.65, 0.006);
  EXPECT_NEAR(next->stop_mm, 28.1, 1e-9);
  EXPECT_TRUE(next->far_ahead);
  passes.push_back({28.1, 1560});
  const auto last = next_pass(passes, 1500);
  ASSERT_TRUE(last.ok());
  EXPECT_NEAR(last->position_mm, 28.74, 0.005);
  EXPECT_FALSE(last->far_ahead);
  EXPECT_GT(last->stop_mm, 28.1);
  EXPECT_LT(last->stop_mm, last->position_mm);
}

TEST(RollLog, ScaleMayCountDown) {
  // Proves that a scale whose numbers fall as the roll goes in works alike, mirrored.
  const std::array<LoggedPass, 2> passes{{{-20.0, 3200}, {-24.0, 2100}}};
  const auto next = next_pass(passes, 1500);
  ASSERT_TRUE(next.ok());
  EXPECT_NEAR(next->position_mm, -28.6546, 1e-3);
  EXPECT_NEAR(next->stop_mm, -28.1, 1e-9);
}

TEST(RollLog, RefusesUselessPasses) {
  // Proves the failure codes of next_pass.
  const auto code = [](std::vector<LoggedPass> passes, double target_mm) {
    return next_pass(passes, target_mm).failure().code;
  };
  EXPECT_EQ(code({{20, 3200}}, 1500), "roll.log");
  EXPECT_EQ(code({{20, 3200}, {20, 2100}}, 1500), "roll.log");
  EXPECT_EQ(code({{20, 3200}, {24, 3300}}, 1500), "roll.log");
  EXPECT_EQ(code({{20, 0}, {24, 3300}}, 1500), "roll.log");
  EXPECT_EQ(code({{20, 3200}, {24, 2100}}, 2200), "roll.target");
}

// A law stiff enough for tests: bilinear moment, no engine needed.
RollBar bilinear_bar() {
  const double stiffness_nmm2 = 2.0e10;
  const double yield_nmm = 1.5e6;
  return {40, stiffness_nmm2, [=](double kappa_per_mm) {
            const double elastic_nmm = stiffness_nmm2 * kappa_per_mm;
            return std::abs(elastic_nmm) < yield_nmm
                       ? elastic_nmm
                       : std::copysign(yield_nmm, kappa_per_mm) +
                             0.02 * (elastic_nmm - std::copysign(yield_nmm, kappa_per_mm));
          }};
}

TEST(RollLog, RecoversAMachineScale) {
  // Proves that passes made with a known zero and factor give both back, and that one pass with
  // a known zero gives the factor.
  const RollMachine rolls{300, 160, 160};
  const RollBar bar = bilinear_bar();
  const double zero_mm = 12.3, factor = 1.17;
  std::vector<LoggedPass> log;
  std::optional<double> incoming;
  for (const double radius_mm : {3000.0, 2000.0, 1500.0}) {
    const auto pass = roll_to_radius(rolls, bar, radius_mm, incoming);
    ASSERT_TRUE(pass.ok()) << pass.failure().text();
    log.push_back({zero_mm + factor * pass->position_mm, radius_mm});
    incoming = radius_mm;
  }
  const auto scale = learn_scale(rolls, bar, log, std::nullopt);
  ASSERT_TRUE(scale.ok()) << scale.failure().text();
  EXPECT_NEAR(scale->zero_mm, zero_mm, 1e-6);
  EXPECT_NEAR(scale->factor_ratio, factor, 1e-7);
  EXPECT_NEAR(scale->worst_mm, 0, 1e-6);
  const auto single = learn_scale(rolls, bar, std::span(log).first(1), zero_mm);
  ASSERT_TRUE(single.ok());
  EXPECT_NEAR(single->factor_ratio, factor, 1e-7);
}

TEST(RollLog, RefusesUselessScales) {
  // Proves the failure codes of learn_scale.
  const RollMachine rolls{300, 160, 160};
  const std::array<LoggedPass, 1> one{{{20, 3000}}};
  const std::array<LoggedPass, 2> opening{{{20, 3000}, {22, 3100}}};
  const std::array<LoggedPass, 2> falling{{{24, 3000}, {20, 2000}}};
  EXPECT_EQ(learn_scale(rolls, bilinear_bar(), {}, 0.0).failure().code, "roll.log");
  EXPECT_EQ(learn_scale(rolls, bilinear_bar(), one, {}).failure().code, "roll.log");
  EXPECT_EQ(learn_scale(rolls, bilinear_bar(), opening, {}).failure().code, "roll.log");
  EXPECT_EQ(learn_scale(rolls, bilinear_bar(), falling, {}).failure().code, "roll.log");
}

}  // namespace
}  // namespace bight::mechanics

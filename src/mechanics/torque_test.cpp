#include "mechanics/torque.h"

#include <gtest/gtest.h>

namespace bight::mechanics {
namespace {

using stock::Section;

const Section kTube = *Section::round_tube(38.1, 1.65);

// 90 degrees in 3 s (5 rev/min) at 1.5 kN m take 785.4 W before losses (computed by hand).
TEST(TorqueReference, Power) {
  EXPECT_NEAR(motor_power_w(1.5e6, 5.0, 1.0), 785.4, 0.05);
  EXPECT_NEAR(motor_power_w(1.5e6, 5.0, 0.8), 785.4 / 0.8, 0.1);
  EXPECT_NEAR(lever_force_n(300e3, 1000), 300, 1e-9);
}

// Equilibrium about the die shaft, by hand: M 768, mandrel 2 kN at 114.3, wiper 1 kN at 95.25,
// friction 0.1 of 768/0.2 = 3840 N at 133.35 mm.
TEST(TorqueReference, ToolForces) {
  const auto torque = die_torque(768e3, 114.3, 38.1, {2000, 1000, 0.1, 200});
  ASSERT_TRUE(torque.ok());
  EXPECT_NEAR(torque->pressure_die_n, 3840, 1e-9);
  EXPECT_NEAR(torque->likely_nmm, 768e3 + 2000 * 114.3 + 1000 * 95.25 + 384 * 133.35, 1e-6);
  EXPECT_LT(torque->low_nmm, torque->likely_nmm);
  EXPECT_GT(torque->high_nmm, torque->likely_nmm);
}

// Without tool forces: 1.3 to 1.5 times the moment (common practice, no source).
TEST(Torque, RuleOfThumb) {
  const DieTorque torque = die_torque(1e6);
  EXPECT_NEAR(torque.low_nmm, 1.3e6, 1e-6);
  EXPECT_NEAR(torque.high_nmm, 1.5e6, 1e-6);
  EXPECT_NE(torque.basis.find("no source"), std::string::npos);
}

// Light stock runs at the machine's speed; more torque is limited by power, then by torque, and
// then refused. Solid bar is advised slower (common practice, no source).
TEST(Torque, SpeedFallsWithLoad) {
  const Drive drive{2e6, 1000, 0.8, 5};
  const SpeedLimit light = *speed_limit(kTube, die_torque(300e3), drive);
  EXPECT_EQ(light.limited_by, "machine");
  EXPECT_NEAR(light.max_rpm, 5, 1e-12);
  EXPECT_TRUE(light.advice.empty());
  const SpeedLimit power = *speed_limit(kTube, die_torque(1.25e6), drive);
  EXPECT_EQ(power.limited_by, "power");
  EXPECT_LT(power.max_rpm, 5);
  EXPECT_NEAR(power.power_w, 1000, 1e-6);
  const SpeedLimit torque = *speed_limit(kTube, die_torque(1.4e6), drive);
  EXPECT_EQ(torque.limited_by, "torque");
  EXPECT_FALSE(torque.overload);
  const SpeedLimit overload = *speed_limit(kTube, die_torque(1.6e6), drive);
  EXPECT_TRUE(overload.overload);
  EXPECT_EQ(overload.max_rpm, 0);
  const SpeedLimit bar = *speed_limit(*Section::round_bar(25), die_torque(300e3), drive);
  EXPECT_EQ(bar.limited_by, "stock");
  EXPECT_LT(bar.advised_rpm, bar.max_rpm);
}

TEST(Torque, RefusesNonsense) {
  EXPECT_EQ(die_torque(1e6, 100, 40, {-1, 0, 0, 0}).failure().code, "torque.input");
  EXPECT_EQ(die_torque(1e6, 100, 40, {0, 0, 0.1, 0}).failure().code, "torque.input");
  EXPECT_EQ(die_torque(1e6, 100, 40, {0, -1, 0, 0}).failure().code, "torque.input");
  EXPECT_EQ(die_torque(1e6, 100, 40, {0, 0, -1, 0}).failure().code, "torque.input");
  for (const Drive& drive :
       {Drive{0, 1, 1, 1}, Drive{1, 0, 1, 1}, Drive{1, 1, 2, 1}, Drive{1, 1, 1, 0}}) {
    EXPECT_EQ(speed_limit(kTube, die_torque(1e6), drive).failure().code, "torque.input");
  }
}

}  // namespace
}  // namespace bight::mechanics

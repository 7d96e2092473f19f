#include "running/self_check.h"

#include <gtest/gtest.h>

#include <random>

namespace bight::running {
namespace {

using base::Angle;

ScaleReading reading(double keyed_deg, double done_deg) {
  return {Angle::degrees(keyed_deg), Angle::degrees(done_deg)};
}

Moment day(int number) { return {static_cast<std::int64_t>(number) * 86'400'000}; }

// Three bends of a bender whose zero stands 0.4° high and whose scale reads 0.5 % short, without
// noise: both are found; the zero's interval by the textbook formula for a line's intercept, sigma
// 0.2/1.96, normal quantile 1.6449, squares about the mean 30² + 30².
TEST(SelfCheck, ZeroAndScale) {
  MachineCheck check;
  for (const double keyed : {40.0, 70.0, 100.0}) {
    check.bends.push_back(reading(keyed, 0.995 * keyed + 0.4));
  }
  const auto result = check_machine(check);
  ASSERT_TRUE(result.ok());
  ASSERT_TRUE(result->angle && result->angle->scale_ratio);
  EXPECT_NEAR(result->angle->zero_deg.value, 0.4, 1e-9);
  EXPECT_NEAR(result->angle->scale_ratio->value, -0.005, 1e-9);
  const double half = 0.2 / 1.96 * 1.6448536 * std::sqrt(1.0 / 3.0 + 70.0 * 70.0 / 1800.0);
  EXPECT_NEAR(result->angle->zero_deg.interval.high - 0.4, half, 1e-6);
  EXPECT_TRUE(result->angle->from_gauge);
  EXPECT_EQ(result->fitness, Fitness::kOpen);  // three readings of ±0.2° cannot decide 0.3 %
  EXPECT_FALSE(result->rotation);
}

// With a better gauge and wider angles the same error is told for certain; a good bender is good.
TEST(SelfCheck, Verdicts) {
  MachineCheck off;
  MachineCheck good;
  off.error = good.error = Angle::degrees(0.1);
  for (const double keyed : {15.0, 30.0, 60.0, 90.0, 120.0, 150.0}) {
    off.bends.push_back(reading(keyed, 0.99 * keyed));
    good.bends.push_back(reading(keyed, keyed + 0.02));
  }
  EXPECT_EQ(check_machine(off)->angle->scale_ratio->fitness, Fitness::kOff);
  EXPECT_EQ(check_machine(off)->fitness, Fitness::kOff);
  EXPECT_EQ(check_machine(good)->fitness, Fitness::kGood);
  MachineCheck slipping;
  slipping.slips_mm = {1.1, 0.9, 1.0};
  EXPECT_EQ(check_machine(slipping)->slip_mm->fitness, Fitness::kOff);
  EXPECT_NEAR(check_machine(slipping)->slip_mm->value, 1.0, 1e-12);
}

// Bends at one angle tell the error there and no scale.
TEST(SelfCheck, OneAngleTellsNoScale) {
  MachineCheck check;
  check.rotations = {reading(90, 89.4), reading(90, 89.6), reading(-90, -90.0)};
  EXPECT_TRUE(check_machine(check)->rotation->scale_ratio);
  check.rotations.pop_back();
  const auto result = check_machine(check);
  EXPECT_FALSE(result->rotation->scale_ratio);
  EXPECT_NEAR(result->rotation->zero_deg.value, -0.5, 1e-9);
}

// The intervals hold the truth in 88 to 92 of 100 simulated checks, whether the scatter is the
// gauge's (3000 invented benders; a simulation shares no code with the intervals).
TEST(SelfCheck, Coverage) {
  std::mt19937_64 random(20261129);  // NOLINT: the same every time
  std::normal_distribution<double> normal;
  int zero_held = 0;
  int scale_held = 0;
  constexpr int kBenders = 3000;
  for (int i = 0; i < kBenders; ++i) {
    const double zero_deg = 0.3 * normal(random);
    const double scale = 0.004 * normal(random);
    MachineCheck check;
    check.error = Angle::degrees(1e-6);  // scatter from the readings alone
    for (const double keyed : {20.0, 45.0, 90.0, 120.0, 150.0}) {
      check.bends.push_back(reading(keyed, keyed * (1 + scale) + zero_deg + 0.1 * normal(random)));
    }
    const ScaleCheck found = *check_machine(check)->angle;
    const auto holds = [](const CheckedValue& value, double truth) {
      return value.interval.low <= truth && truth <= value.interval.high;
    };
    zero_held += holds(found.zero_deg, zero_deg) ? 1 : 0;
    scale_held += holds(*found.scale_ratio, scale) ? 1 : 0;
  }
  EXPECT_NEAR(zero_held / static_cast<double>(kBenders), 0.90, 0.02);
  EXPECT_NEAR(scale_held / static_cast<double>(kBenders), 0.90, 0.02);
}

// A zero that creeps by 0.05° a month is followed, and the day it will meet its limit foretold.
TEST(SelfCheck, TrendMeetsItsLimit) {
  std::vector<CheckResult> results;
  for (int month = 0; month < 4; ++month) {
    MachineCheck check;
    check.at = day(20000 + 30 * month);
    const double zero_deg = 0.05 * month + (month == 1 ? 0.001 : 0.0);
    check.bends = {reading(30, 30 + zero_deg), reading(90, 90 + zero_deg),
                   reading(150, 150 + zero_deg)};
    check.slips_mm = {0.2};
    results.push_back(*check_machine(check));
  }
  const std::vector<CheckTrend> trends = trends_of(results);
  ASSERT_EQ(trends.size(), 3u);
  EXPECT_EQ(trends[0].what, "angle zero");
  EXPECT_NEAR(trends[0].per_month, 0.05, 0.001);
  ASSERT_TRUE(trends[0].days_left);
  EXPECT_NEAR(*trends[0].days_left, 60.0, 1.0);  // 0.25 - 0.15 at 0.05 a month
  EXPECT_EQ(trends[2].what, "slip");
  EXPECT_FALSE(trends[2].days_left);
  results.resize(2);
  EXPECT_TRUE(trends_of(results).empty());
}

TEST(SelfCheck, SaysWhatCannotBe) {
  EXPECT_EQ(check_machine({}).failure().code, "check.nothing");
  MachineCheck check;
  check.slips_mm = {0.1};
  check.slip_error_mm = 0.0;
  EXPECT_EQ(check_machine(check).failure().code, "check.number");
  EXPECT_EQ(word(Fitness::kOpen), "open");
}

}  // namespace
}  // namespace bight::running

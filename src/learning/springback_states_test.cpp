#include "learning/springback_states.h"

#include <gtest/gtest.h>

namespace bight::learning {
namespace {

using base::Angle;

BendReading reading(double set_deg, double finished_deg, std::string heat) {
  BendReading r;
  r.angles = {Angle::degrees(set_deg), Angle::degrees(finished_deg)};
  r.kind = "k";
  r.heat = std::move(heat);
  r.first = {Angle::degrees(0.4), 0.02};
  return r;
}

const SpringbackTarget kTarget{"k", "new", "", {Angle::degrees(0.4), 0.02}};

double lost_deg(const Posterior& found, double set_deg) {
  double lost = 0.0;
  for (const auto& s : found.states) {
    lost += s.weight * s.mean_rad(Angle::degrees(set_deg).rad());
  }
  return Angle::radians(lost).deg();
}

TEST(SpringbackStates, WeightsSumToOne) {
  double sum = 0.0;
  for (const auto& s : posterior(kTarget, {reading(90, 87, "new")}, {}).states) sum += s.weight;
  EXPECT_NEAR(sum, 1.0, 1e-12);
}

// Partial pooling at its ends: heats that cannot differ are one heat; heats that may differ by
// anything leave this one to its own readings.
TEST(SpringbackStates, PoolingHasBothEnds) {
  std::vector<BendReading> readings = {reading(40, 37.6, "old"), reading(110, 105, "old"),
                                       reading(90, 87.5, "new")};
  SpringbackBelief belief;
  belief.heat_weight = {1.0};
  belief.heat_ratio = {1e-9};
  const double pooled = lost_deg(posterior(kTarget, readings, belief), 90);
  for (BendReading& r : readings) r.heat = "new";
  EXPECT_NEAR(pooled, lost_deg(posterior(kTarget, readings, belief), 90), 1e-6);
  for (int i : {0, 1}) readings[static_cast<std::size_t>(i)].heat = "old";
  belief.heat_ratio = {5.0};
  EXPECT_NEAR(lost_deg(posterior(kTarget, readings, belief), 90), 2.5, 0.02);
}

// The reading that contradicts the others is the worst, by the amount it is off.
TEST(SpringbackStates, WorstIsTheContradictingOne) {
  const Posterior found = posterior(kTarget,
                                    {reading(30, 28.6, "new"), reading(60, 60.0, "new"),
                                     reading(90, 86.2, "new"), reading(120, 115, "new")},
                                    {});
  EXPECT_EQ(found.worst.index, 1u);
  EXPECT_GT(found.worst.log_odds_ratio, 2.3);
  EXPECT_NEAR(found.worst.above.deg(), 2.6, 0.2);
}

}  // namespace
}  // namespace bight::learning

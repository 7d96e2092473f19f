#include "learning/best_trial.h"

#include <gtest/gtest.h>

namespace bight::learning {
namespace {

using base::Angle;

const FirstLine kFirst{Angle::degrees(0.38), 0.021};

BendReading reading(double set_deg, double finished_deg) {
  BendReading r;
  r.angles = {Angle::degrees(set_deg), Angle::degrees(finished_deg)};
  r.kind = "k";
  r.first = kFirst;
  return r;
}

SpringbackModel model(const std::vector<BendReading>& readings) {
  return SpringbackModel::make({"k", "", "", kFirst}, readings);
}

// A job of 30° and 120°, one trial at 30: the next trial belongs to the large angle.
TEST(BestTrial, GoesWhereLeastIsKnown) {
  const SpringbackModel m = model({reading(31, 29.6)});
  const BestTrial next = *best_trial(m, {Angle::degrees(30), Angle::degrees(120)});
  EXPECT_GE(next.set.deg(), 100.0);
  EXPECT_NEAR(next.worst_at.deg(), 120.0, 1e-9);
  EXPECT_LT(next.half_after, next.half_now * 0.7);
}

// Brute force: making each of the possible trials, reading exactly what is expected, no other gives
// a clearly narrower band of the worst angle.
TEST(BestTrialReference, NoOtherTrialIsClearlyBetter) {
  const std::vector<BendReading> made = {reading(90, 87.6)};
  const SpringbackModel now = model(made);
  const std::vector<Angle> wanted = {Angle::degrees(25), Angle::degrees(60), Angle::degrees(110)};
  const BestTrial chosen = *best_trial(now, wanted);
  const auto worst_half_deg = [&](Angle set) {
    std::vector<BendReading> more = made;
    more.push_back(reading(set.deg(), now.finished_at(set).deg()));
    const SpringbackModel after = model(more);
    double worst = 0.0;
    for (const Angle angle : wanted) {
      const AngleInterval band = after.set_band(angle);
      worst = std::max(worst, (band.high - band.low).deg() / 2.0);
    }
    return worst;
  };
  const double ours_deg = worst_half_deg(chosen.set);
  for (double set_deg = 15; set_deg <= 120; set_deg += 5) {
    EXPECT_GT(worst_half_deg(Angle::degrees(set_deg)), 0.93 * ours_deg) << set_deg;
  }
}

TEST(BestTrial, StaysWithinTheMachine) {
  const BestTrial next = *best_trial(model({}), {Angle::degrees(170)}, Angle::degrees(100));
  EXPECT_LE(next.set.deg(), 100.0 + 1e-9);
  EXPECT_FALSE(best_trial(model({}), {}).has_value());
}

}  // namespace
}  // namespace bight::learning

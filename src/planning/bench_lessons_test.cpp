#include "planning/bench_lessons.h"

#include <gtest/gtest.h>

#include "planning/planner.h"
#include "planning/sample_shop_test_util.h"

namespace bight::planning {
namespace {

using base::Angle;

Plan plan_of(const workshop::Shop& shop) { return *planning::plan(sample::u_part(), shop); }

// With no trial bend the next one lies at the job's own angles and narrows their band; after two
// trials there is less to gain.
TEST(BenchLessons, TheNextTrialNarrowsTheBand) {
  workshop::Shop shop = sample::shop();
  const auto fresh = lessons_of(plan_of(shop), shop);
  ASSERT_TRUE(fresh.ok()) << fresh.failure().text();
  ASSERT_EQ(fresh->size(), 1u);
  EXPECT_EQ(fresh->front().bends, (std::vector<std::size_t>{1, 2}));
  ASSERT_TRUE(fresh->front().next);
  EXPECT_LT(fresh->front().next->half_after.deg(), 0.5 * fresh->front().next->half_now.deg());
  shop.trials = {sample::trial(20, 18.2), sample::trial(120, 114.4)};
  const auto known = lessons_of(plan_of(shop), shop);
  ASSERT_TRUE(known.ok());
  EXPECT_LT(known->front().next->half_now.deg(), 0.5 * fresh->front().next->half_now.deg());
}

// A measured piece becomes trials of its tube and die, with what it was really set to; entered into
// the shop they move the plan's set angle to what the piece says.
TEST(BenchLessons, APieceTeaches) {
  workshop::Shop shop = sample::shop();
  const Plan plan = plan_of(shop);
  inspection::Measured measured;
  measured.bends.resize(2);
  measured.bends[0].angle = Angle::degrees(88.0);
  measured.bends[0].set = Angle::degrees(93.0);
  measured.bends[1].angle = Angle::degrees(89.0);
  EXPECT_EQ(set_as_planned(measured), std::vector<std::size_t>{2});
  measured.bends[1].angle.reset();
  const auto trials = trials_of_piece(plan, measured, "H1", "2026-05-01", "MK");
  ASSERT_TRUE(trials.ok());
  ASSERT_EQ(trials->size(), 1u);
  EXPECT_TRUE(set_as_planned(measured).empty());
  const workshop::TrialBend& trial = trials->front();
  EXPECT_EQ(trial.die, "D114");
  EXPECT_EQ(trial.heat, "H1");
  EXPECT_DOUBLE_EQ(trial.set_angle.deg(), 93.0);
  EXPECT_DOUBLE_EQ(trial.wall_mm, 1.6);
  shop.trials = {trial, trial, trial, trial};
  // Four readings of 5.0° lost at 93: for 90 about 95.1.
  EXPECT_NEAR(plan_of(shop).steps[0].set_angle.likely.deg(), 95.1, 0.15);
  EXPECT_EQ(trials_of_piece(plan, {}, "", "", "").failure().code, "learn.nothing");
}

// A part nothing can bend teaches nothing.
TEST(BenchLessons, NoPlan) {
  workshop::Shop shop = sample::shop();
  shop.die_sets.clear();
  EXPECT_EQ(lessons_of(plan_of(shop), shop).failure().code, "learn.plan");
}

}  // namespace
}  // namespace bight::planning

#include "ordering/best_order.h"

#include <gtest/gtest.h>

#include "ordering/sample_order_test_util.h"

namespace bight::ordering {
namespace {

// Floor swing of the trade: with the leg's bend made first, the other bend swings 1400 mm of leg
// 60° down into a floor 1050 below: 1400 sin 60° - 1050 = 162, and a tube's rim r cos 60° more
// (common practice, no source; by hand). Made in the other order, or worked from the other end, it
// clears, and the search says so.
TEST(BestOrder, FloorSwingIsAvoided) {
  const Problem p = sample::floor_problem();
  const Order wrong =
      judge(p, {}, {{1, Front::kEndB, 0, {}, 0}, {0, Front::kEndB, 0, {}, 0}}).value();
  EXPECT_FALSE(wrong.works());
  EXPECT_EQ(wrong.cost.stops, 1u);
  EXPECT_NEAR(wrong.low_mm, -(1400 * std::sqrt(0.75) - 1050 + 0.25 * 38.1), 0.2);
  EXPECT_EQ(wrong.steps[1].clearance.nearest->body, "floor");
  const Answer answer = best_order(p).value();
  EXPECT_TRUE(answer.best.works());
  EXPECT_TRUE(answer.proven);
  EXPECT_GE(answer.best.low_mm, 20);
  EXPECT_EQ(answer.best.cost.flips, 0u);
}

// The others are ranked, differ from the best and cost no less.
TEST(BestOrder, RanksOthers) {
  std::mt19937_64 rng(5);
  const Problem p = sample::problem(sample::frame_tube(rng, 5));
  const Answer answer = best_order(p).value();
  ASSERT_FALSE(answer.others.empty());
  Cost last = answer.best.cost;
  for (const Order& other : answer.others) {
    EXPECT_FALSE(other.sequence() == answer.best.sequence());
    EXPECT_LE(last, other.cost);
    last = other.cost;
  }
}

// What the search thought of its order is what a close look finds: cost for cost.
TEST(BestOrder, CloseLookAgreesWithTheSearch) {
  std::mt19937_64 rng(15);
  for (std::size_t round = 0; round < 20; ++round) {
    const Problem p = sample::problem(sample::frame_tube(rng, 1 + round % 7));
    const Answer answer = best_order(p, {.others = false}).value();
    const StepRules rules(p, {});
    StepBook book = StepBook::make(p, {}).value();
    const Effort effort;
    const Found found = OrderSearch(p, rules, book, effort).run();
    EXPECT_EQ(found.sequence, answer.best.sequence());
    Cost close = answer.best.cost, seen = found.cost;
    // Told apart to a millimetre there, to a tenth here.
    EXPECT_LE(close.margin_class, seen.margin_class);
    close.margin_class = seen.margin_class = 0;
    EXPECT_EQ(close, seen);
  }
}

// A straight of 70 between two bends is too short for the clamp of 95 but holds the tail of 60: the
// bend that leaves it behind comes last.
TEST(BestOrder, ClampOnTheOuterLeg) {
  Problem p = sample::problem(clearance::sample::tube({{300, 0, 90}, {70, 90, 90}}, 300));
  p.bender.around.bodies.clear();
  const StepRules rules(p, {});
  const Order drawn = judge(p, {}, drawing_order(p, rules, Front::kEndA)).value();
  EXPECT_EQ(drawn.cost.stops, 1u);
  EXPECT_FALSE(drawn.steps[1].clamp_fits());
  const Answer answer = best_order(p).value();
  EXPECT_TRUE(answer.best.works());
  EXPECT_EQ(answer.best.cost.flips, 0u);
  EXPECT_EQ(answer.best.steps[0].placed.bend, 1u);
  EXPECT_EQ(answer.best.steps[1].placed.front, Front::kEndA);
}

// Two levels with the same radius: the level that clears is taken.
TEST(BestOrder, TakesTheLevelThatClears) {
  Problem p = sample::floor_problem();
  p.bender.around.levels_mm = {0, 60};
  p.dies.push_back(clearance::sample::die(114.3, 2));
  for (auto& tools : p.tools) tools.push_back({1, 95, 60});
  const Answer answer = best_order(p).value();
  EXPECT_TRUE(answer.best.works());
  EXPECT_EQ(answer.best.cost.die_changes, 0u);
}

}  // namespace
}  // namespace bight::ordering

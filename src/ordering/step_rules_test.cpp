#include "ordering/step_rules.h"

#include <gtest/gtest.h>

#include "clearance/movement.h"
#include "ordering/best_order.h"
#include "ordering/sample_order_test_util.h"

namespace bight::ordering {
namespace {

// Straights run to the next bend that is made, else to the end; by hand.
TEST(StepRules, StraightsEndAtMadeBends) {
  const Problem p =
      sample::problem(clearance::sample::tube({{200, 0, 90}, {150, 90, 45}, {80, 0, 30}}, 400));
  const StepRules rules(p, {});
  EXPECT_NEAR(rules.towards_a(1, 0b001).length_mm, 150, 1e-9);
  EXPECT_FALSE(rules.towards_a(1, 0b001).to_end);
  EXPECT_NEAR(rules.towards_a(1, 0b100).length_mm, p.tube.bends[1].start_mm, 1e-9);
  EXPECT_TRUE(rules.towards_a(1, 0b100).to_end);
  EXPECT_NEAR(rules.towards_b(1, 0b100).length_mm, 80, 1e-9);
  EXPECT_NEAR(rules.ahead(1, 0b101, Front::kEndB).length_mm, 80, 1e-9);
  EXPECT_NEAR(rules.behind(1, 0b101, Front::kEndB).length_mm, 150, 1e-9);
  EXPECT_FALSE(rules.straights_fit(1, 0b100, Front::kEndB, p.tools[1][0]));  // 80 < 95
  EXPECT_TRUE(rules.straights_fit(1, 0b100, Front::kEndA, p.tools[1][0]));   // 80 >= 60
}

// The bend nearest the middle may be made at no cost, each other one waits for those nearer.
TEST(StepRules, CountsBendsNearerTheMiddle) {
  const Problem p =
      sample::problem(clearance::sample::tube({{300, 0, 30}, {300, 0, 30}, {300, 0, 30}}, 300));
  const StepRules rules(p, {});
  EXPECT_EQ(rules.outward(1, 0), 0u);
  EXPECT_EQ(rules.outward(0, 0), 1u);
  EXPECT_EQ(rules.outward(0, 0b010), 0u);
}

// Turning the tube as the rules say from the pose that one step leaves brings it into the pose of
// the next: the films of two steps of a carriage-fed bender join.
TEST(StepRules, TurnJoinsTheFilmsOfTwoSteps) {
  std::mt19937_64 rng(11);
  for (const Front front : {Front::kEndA, Front::kEndB}) {
    Problem p = sample::problem(sample::frame_tube(rng, 3));
    p.bender.kind = workshop::BenderKind::kCarriageFed;
    const StepRules rules(p, {});
    const Sequence order = drawing_order(p, rules, front);
    const clearance::Setup setup{&p.bender, {&p.dies[0]}};
    MadeBends made = 0;
    std::vector<geometry::Segment> left;
    for (const Placed& placed : order) {
      const auto film = clearance::movement(
          setup, p.tube, {placed.bend, made, front, 0, placed.turn, placed.advance_mm});
      ASSERT_TRUE(film.ok());
      if (!left.empty()) {
        const geometry::Vec3 before_mm = left.back().at(left.back().length_mm).origin_mm;
        const geometry::Segment& now = film->front().tube.back();
        EXPECT_LT((now.at(now.length_mm).origin_mm - before_mm).norm(), 1e-6);
      }
      left = film->back().tube;
      made |= MadeBends{1} << placed.bend;
    }
  }
}

// A flip counts once, a die change once; the first step is free of both.
TEST(StepRules, CostCountsFlipsAndDies) {
  Problem p =
      sample::problem(clearance::sample::tube({{300, 0, 90}, {300, 90, 90}, {300, 0, 90}}, 300));
  p.dies.push_back(clearance::sample::die(114.3, 2));
  for (auto& tools : p.tools) tools.push_back({1, 95, 60});
  const StepRules rules(p, {});
  const Sequence s = {
      {0, Front::kEndA, 0, {}, 0}, {1, Front::kEndB, 1, {}, 0}, {2, Front::kEndB, 0, {}, 0}};
  const Cost cost = cost_without_bodies(p, rules, s);
  EXPECT_EQ(cost.flips, 1u);
  EXPECT_EQ(cost.die_changes, 2u);
  // 90° is six times 15°; the bends' middles are 487 mm apart.
  EXPECT_EQ(cost.handling, 6u);
}

// What cannot be asked is refused with its code.
TEST(StepRules, RefusesWhatHasNoOrder) {
  Problem p = sample::problem(clearance::sample::tube({{300, 0, 90}}, 300));
  EXPECT_TRUE(p.valid().ok());
  p.tools[0].clear();
  EXPECT_EQ(p.valid().failure().code, "ordering.problem");
  p.bender.kind = workshop::BenderKind::kThreeRoll;
  EXPECT_EQ(p.valid().failure().code, "ordering.rolled");
  Problem many =
      sample::problem(clearance::sample::tube(std::vector<sample::Row>(33, {300, 0, 30}), 300));
  EXPECT_EQ(many.valid().failure().code, "ordering.problem");
}

}  // namespace
}  // namespace bight::ordering

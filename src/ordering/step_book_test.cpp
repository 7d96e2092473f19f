#include "ordering/step_book.h"

#include <gtest/gtest.h>

#include "ordering/sample_order_test_util.h"

namespace bight::ordering {
namespace {

TEST(StepBook, ClassesOfMargins) {
  const Agreed agreed;  // 20 in steps of 5
  EXPECT_EQ(margin_class_of(25, agreed), 0);
  EXPECT_EQ(margin_class_of(20, agreed), 0);
  EXPECT_EQ(margin_class_of(19.9, agreed), 1);
  EXPECT_EQ(margin_class_of(15, agreed), 1);
  EXPECT_EQ(margin_class_of(0.1, agreed), 4);
  EXPECT_EQ(margin_class_of(0, agreed), StepBook::kHit);
}

// What is known of one side of the tube never makes a step look worse than it is: asked one by one
// or all from one book in any order, the answers are the same.
TEST(StepBook, KnownSidesDoNotMislead) {
  std::mt19937_64 rng(2);
  for (int round = 0; round < 6; ++round) {
    Problem p = sample::problem(clearance::sample::random_tube(rng, 4));
    p.bender.around.room.floor_mm = 600;
    StepBook all = StepBook::make(p, {}).value();
    for (int k = 0; k < 60; ++k) {
      Placed placed{rng() % 4, rng() % 2 == 0 ? Front::kEndA : Front::kEndB, 0, {}, 0.0};
      const MadeBends made = (rng() % 16) & ~(MadeBends{1} << placed.bend);
      const auto limit = static_cast<std::uint8_t>(rng() % 5);
      StepBook one = StepBook::make(p, {}).value();
      EXPECT_EQ(all.within(placed, made, limit), one.margin_class(placed, made) <= limit);
    }
  }
}

// An arc that lies slanting over the floor while the tube only turns about the upright axis: its
// sagitta has to be narrowed, not the time. The answer is as narrow as was asked for.
TEST(StepBook, SlantingArcOverTheFloorIsNarrowed) {
  std::mt19937_64 rng(7);
  const Problem p = sample::problem(sample::frame_tube(rng, 8));
  clearance::StepChecker checker =
      clearance::StepChecker::make({&p.bender, {&p.dies[0]}}, p.tube).value();
  for (const Front front : {Front::kEndA, Front::kEndB}) {
    const clearance::StepClearance clear = checker.check({.bend = 3, .made = 5, .front = front});
    ASSERT_TRUE(clear.nearest.has_value());
    EXPECT_LE(clear.nearest->high_mm - clear.nearest->low_mm, 0.1 + 1e-9);
  }
}

}  // namespace
}  // namespace bight::ordering

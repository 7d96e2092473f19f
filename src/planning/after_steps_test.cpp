#include "planning/after_steps.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "planning/checks.h"
#include "planning/planner.h"
#include "planning/sample_shop_test_util.h"

namespace bight::planning {
namespace {

using sample::row;

Plan planned(const char* order) {
  PlanOptions options;
  options.order = *parse_order_wish(order);
  return *plan(sample::tube_part({row(400, 0, 90), row(300, 90, 60), row(250, 45, 30)}, 320),
               sample::shop(), options);
}

// One bend made of three: the rest is straight tube, and the lengths are those of a plane triangle.
TEST(AfterSteps, OneBendMadeOfThree) {
  const Plan made = planned("2A,1A,3A");
  const AfterStep first = after_steps(made, {}).front();
  ASSERT_EQ(first.bends, (std::vector<std::size_t>{2}));
  ASSERT_EQ(first.table.num_bends(), 1u);
  // Nothing of the blank is lost: straights and the arc of bend 2 that the blank gave for it.
  const double straight_mm = first.table.straight_mm(0) + first.table.straight_mm(1);
  EXPECT_NEAR(straight_mm + made.steps[0].arc_mm, made.blank.cut.likely_mm, 1e-9);
  EXPECT_NEAR(first.table.straight_mm(0), made.steps[0].mark_mm, 1e-9);
  ASSERT_EQ(first.checks.size(), 2u);
  const double radius_mm = first.table.rows()[0].radius_mm;
  const double tangent = std::tan(30.0 * std::numbers::pi / 180.0);
  // The nearer end is B: its leg and the outside edge's setback (plane geometry).
  EXPECT_EQ(first.checks[0].label, "end B to outside of bend 2");
  EXPECT_NEAR(first.checks[0].value_mm,
              first.table.straight_mm(1) + (radius_mm + 38.1 / 2) * tangent, 1e-9);
  EXPECT_EQ(first.checks[1].label, "across bend 2, 300.0 mm along each outside edge");
  EXPECT_NEAR(first.checks[1].value_mm, 300.0 * std::sqrt(3.0), 1e-6);  // 60° of a triangle
}

// After the last step it is the part, with whatever the blank has beyond it.
TEST(AfterSteps, LastIsThePart) {
  for (const char* order : {"1A,2A,3A", "3B,1A,2B"}) {
    const Plan made = planned(order);
    const std::vector<AfterStep> all = after_steps(made, {});
    ASSERT_EQ(all.size(), 3u);
    const geometry::BendTable& last = all.back().table;
    ASSERT_EQ(last.num_bends(), 3u);
    for (std::size_t i = 0; i < 3; ++i) {
      EXPECT_NEAR(last.rows()[i].rotation.rad(), made.bent_table.rows()[i].rotation.rad(), 1e-12);
      EXPECT_EQ(last.rows()[i].angle.rad(), made.bent_table.rows()[i].angle.rad());
    }
    EXPECT_NEAR(last.straight_mm(1), made.bent_table.straight_mm(1), 1e-12);
    for (const AfterStep& after : all) EXPECT_EQ(after.checks.size(), 2u);
  }
  // Two made with one between them straight: planes add up, 90 and 45.
  const AfterStep outer = after_steps(planned("1A,3A,2A"), {})[1];
  EXPECT_NEAR(outer.table.rows()[1].rotation.deg(), 135.0, 1e-9);
}

// A U has no outside corner: what is left is measured between the ends and over all.
TEST(AfterSteps, AHairpinIsMeasuredOverAll) {
  PlanOptions options;
  const Plan made =
      *plan(sample::tube_part({row(400, 0, 180), row(700, 90, 30)}, 300), sample::shop(), options);
  const AfterStep first = after_steps(made, {}).front();
  ASSERT_EQ(first.checks.size(), 2u);
  EXPECT_EQ(first.checks[0].label, "end A to end B, centres");
  EXPECT_EQ(first.checks[1].label, "overall across, bend 1 flat");
  EXPECT_NEAR(first.checks[1].value_mm, 2.0 * first.table.rows()[0].radius_mm + 38.1, 1e-6);
}

TEST(AfterSteps, NoneWithoutSteps) {
  EXPECT_TRUE(after_steps(*plan(sample::tube_part({}, 500), sample::shop()), {}).empty());
}

}  // namespace
}  // namespace bight::planning

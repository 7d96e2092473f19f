#include "papers/pose.h"

#include <gtest/gtest.h>

#include <cmath>

#include "papers/sample_plans_test_util.h"

namespace bight::papers {
namespace {

using geometry::Vec3;

constexpr Box kBox{10.0, 20.0, 190.0, 60.0};

Tube tube_of(const planning::Plan& plan) {
  return Tube(geometry::lay_out(plan.bent_table), plan.part.section);
}

void expect_room(const Tube& tube, const ViewCell& cell, double scale_ratio) {
  const CellMargins margins;
  EXPECT_LE(tube.reach(cell.eye.right).size_mm() * scale_ratio,
            cell.box.width_mm - margins.left_mm - margins.right_mm + 1e-9);
  EXPECT_LE(tube.reach(cell.eye.up).size_mm() * scale_ratio,
            cell.box.height_mm - margins.top_mm - margins.bottom_mm + 1e-9);
  EXPECT_GE(cell.box.x_mm, kBox.x_mm - 1e-9);
  EXPECT_GE(cell.box.y_mm, kBox.y_mm - 1e-9);
  EXPECT_LE(cell.box.right_mm(), kBox.right_mm() + 1e-9);
  EXPECT_LE(cell.box.bottom_mm(), kBox.bottom_mm() + 1e-9);
}

// Every sample's views have room for the part with its labels, inside the box, not on each other.
TEST(Arrange, PartsFitTheirCells) {
  for (const auto& [name, plan] : sample::all()) {
    SCOPED_TRACE(name);
    const Tube tube = tube_of(plan);
    const Arrangement views = arrange(tube, kBox);
    const ViewCell* plain[] = {&views.above, &views.front, &views.right};
    for (const ViewCell* cell : plain) {
      expect_room(tube, *cell, views.scale_ratio);
      EXPECT_GE(cell->box.x_mm, views.pictorial.box.right_mm() - 1e-9);
      for (const ViewCell* other : plain) {
        if (other == cell) continue;
        const double over_x_mm = std::min(cell->box.right_mm(), other->box.right_mm()) -
                                 std::max(cell->box.x_mm, other->box.x_mm);
        const double over_y_mm = std::min(cell->box.bottom_mm(), other->box.bottom_mm()) -
                                 std::max(cell->box.y_mm, other->box.y_mm);
        EXPECT_TRUE(over_x_mm < 1e-9 || over_y_mm < 1e-9);
      }
    }
  }
}

// The three views are square to each other and turned, not mirrored: from above, upwards on paper
// is away from the eye of the front view; from the right, the part's front is on the left.
TEST(Arrange, ViewsBelongTogether) {
  const Arrangement views = arrange(tube_of(sample::three_d()), kBox);
  EXPECT_NEAR((views.above.eye.right - views.front.eye.right).norm(), 0.0, 1e-12);
  EXPECT_NEAR((views.above.eye.up + views.front.eye.toward).norm(), 0.0, 1e-12);
  EXPECT_NEAR((views.right.eye.toward - views.front.eye.right).norm(), 0.0, 1e-12);
  EXPECT_NEAR((views.right.eye.up - views.front.eye.up).norm(), 0.0, 1e-12);
  for (const Eye& eye : {views.above.eye, views.front.eye, views.right.eye, views.pictorial.eye}) {
    EXPECT_NEAR((eye.right.cross(eye.up) - eye.toward).norm(), 0.0, 1e-12);
  }
  EXPECT_GT(views.pictorial.eye.toward.dot(views.above.eye.toward), 0.2);
}

// A larger box never shows the part smaller.
TEST(Arrange, LargerBoxLargerPart) {
  const Tube tube = tube_of(sample::three_d());
  double last_ratio = 0.0;
  for (const double height_mm : {40.0, 60.0, 90.0, 130.0}) {
    const double ratio = arrange(tube, {10.0, 20.0, 190.0, height_mm}).scale_ratio;
    EXPECT_GE(ratio, last_ratio);
    last_ratio = ratio;
  }
}

// Printed scales: never larger than what fits, whole numbers from 1:10 on, at most a quarter lost.
TEST(PlainScale, Steps) {
  EXPECT_DOUBLE_EQ(plain_scale_ratio(7.0), 1.0);
  EXPECT_DOUBLE_EQ(plain_scale_ratio(1.0 / 10.5), 1.0 / 12.0);
  EXPECT_DOUBLE_EQ(plain_scale_ratio(1.0 / 20.0), 1.0 / 20.0);
  for (double ratio = 0.99; ratio > 1e-4; ratio *= 0.97) {
    const double plain_ratio = plain_scale_ratio(ratio);
    EXPECT_LE(plain_ratio, ratio);
    EXPECT_GT(plain_ratio, 0.79 * ratio);
    if (plain_ratio < 0.099) {
      EXPECT_NEAR(std::remainder(1.0 / plain_ratio, 1.0), 0.0, 1e-9);
    }
  }
}

}  // namespace
}  // namespace bight::papers

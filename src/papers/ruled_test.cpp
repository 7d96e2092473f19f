#include "papers/ruled.h"

#include <gtest/gtest.h>

#include "papers/printed_test_util.h"

namespace bight::papers {
namespace {

// Type shrinks until it fits, in half points, and never below the least.
TEST(Ruled, FittingSize) {
  const auto canvas = open_canvas({}).value();
  EXPECT_DOUBLE_EQ(fitting_pt(*canvas, "12.5", {14.0, true}, 50.0, 9.0), 14.0);
  const double fitted_pt = fitting_pt(*canvas, "Handrail return", {14.0, true}, 35.0, 9.0);
  EXPECT_LT(fitted_pt, 14.0);
  EXPECT_LE(canvas->measure("Handrail return", {fitted_pt, true}).width_mm, 35.0);
  EXPECT_GT(canvas->measure("Handrail return", {fitted_pt + 0.5, true}).width_mm, 35.0);
  EXPECT_DOUBLE_EQ(fitting_pt(*canvas, std::string(300, 'W'), {14.0}, 35.0, 9.0), 9.0);
}

// Text stands in the middle of its box; text too long breaks inside the width.
TEST(Ruled, TextInABox) {
  const Box box{40.0, 50.0, 30.0, 20.0};
  const auto one = printed::words_of(printed::drawn([&](Canvas& canvas) {
    text_in(canvas, box, "375.0", {14.0, true, Align::kCentre});
  }));
  ASSERT_EQ(one.size(), 1u);
  EXPECT_NEAR(one[0].box.centre().x_mm, box.centre().x_mm, 0.3);
  EXPECT_NEAR(one[0].box.centre().y_mm, box.centre().y_mm, 1.0);
  const std::string pdf = printed::drawn([&](Canvas& canvas) {
    text_in(canvas, box, "the second bay by the north wall", {14.0}, 9.0);
  });
  printed::expect_within(pdf, box);
  printed::expect_tidy(pdf);
}

// The three signs differ in shape: no two leave the same picture.
TEST(Ruled, SignsDiffer) {
  std::vector<std::string> pictures;
  for (const auto severity :
       {part::Severity::kStop, part::Severity::kCaution, part::Severity::kNote}) {
    CanvasOptions options;
    options.format = Format::kPng;
    options.width_mm = options.height_mm = 10.0;
    auto canvas = open_canvas(options).value();
    severity_sign(*canvas, {5.0, 5.0}, 5.0, severity);
    pictures.push_back((*canvas->finish())[0]);
  }
  EXPECT_NE(pictures[0], pictures[1]);
  EXPECT_NE(pictures[1], pictures[2]);
  EXPECT_NE(pictures[0], pictures[2]);
}

// A title bar holds its title and says how high it is.
TEST(Ruled, TitleBar) {
  const Box box{20.0, 30.0, 90.0, 40.0};
  double used_mm = 0.0;
  const std::string pdf =
      printed::drawn([&](Canvas& canvas) { used_mm = title_bar(canvas, box, "FINDINGS"); });
  EXPECT_DOUBLE_EQ(used_mm, kTitleBar_mm);
  printed::expect_within(pdf, {box.x_mm, box.y_mm, box.width_mm, used_mm});
}

// Rules, frames, crosses and squares to tick leave ink where they were asked to.
TEST(Ruled, Marks) {
  const auto picture = [](const std::function<void(Canvas&)>& draw) {
    CanvasOptions options;
    options.format = Format::kPng;
    options.width_mm = options.height_mm = 10.0;
    auto canvas = open_canvas(options).value();
    draw(*canvas);
    return (*canvas->finish())[0];
  };
  const std::string blank = picture([](Canvas&) {});
  EXPECT_NE(picture([](Canvas& c) { line(c, {1, 1}, {9, 9}); }), blank);
  EXPECT_NE(picture([](Canvas& c) { frame(c, {1, 1, 8, 8}); }), blank);
  EXPECT_NE(picture([](Canvas& c) { cross(c, {5, 5}, 2, 0.5); }), blank);
  EXPECT_NE(picture([](Canvas& c) { tick_box(c, {1, 1}, 3); }), blank);
  EXPECT_EQ(picture([](Canvas& c) { frame(c, {20, 20, 8, 8}); }), blank);
}

// The height of broken text is that of its lines.
TEST(Ruled, TextHeight) {
  const auto canvas = open_canvas({}).value();
  const double one_mm = text_height_mm(*canvas, "short", {9.0}, 80.0);
  EXPECT_NEAR(one_mm, 9.0 * kMmPerPoint * kLinePitch_ratio, 1e-9);
  EXPECT_NEAR(text_height_mm(*canvas, "a\nb", {9.0}, 80.0), 2.0 * one_mm, 1e-9);
}

}  // namespace
}  // namespace bight::papers

#include "papers/deviation_figure.h"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "papers/printed_test_util.h"

namespace bight::papers {
namespace {

using geometry::Vec3;

inspection::Deviation deviation(const std::vector<Vec3>& offs_mm) {
  inspection::Deviation out;
  for (std::size_t i = 0; i < offs_mm.size(); ++i) {
    const bool last = i + 1 == offs_mm.size();
    const std::string name = i == 0 ? "end A" : last ? "end B" : fmt::format("corner {}", i);
    out.points.push_back({i, name, offs_mm[i], offs_mm[i].norm(), 0.0});
    out.worst_mm = std::max(out.worst_mm, offs_mm[i].norm());
  }
  return out;
}

std::string figure(const std::vector<Vec3>& corners_mm, const std::vector<Vec3>& offs_mm) {
  base::LengthStyle style;
  style.decimals = 2;
  const Wording fine(style);
  return printed::drawn([&](Canvas& canvas) {
    draw_deviation(canvas, {10, 10, 95, 80}, corners_mm, deviation(offs_mm), fine);
  });
}

// Round numbers, and never so large that the worst deviation leaves its room.
TEST(DeviationFigure, Magnification) {
  EXPECT_EQ(magnification(2.47, 0.1, 7.0), 20.0);
  EXPECT_EQ(magnification(0.3, 0.1, 7.0), 200.0);
  EXPECT_EQ(magnification(100.0, 0.1, 7.0), 1.0);
  EXPECT_EQ(magnification(0.0, 0.1, 7.0), 1.0);
}

// Story 17's flat part and a part in space: every measured point has its name and its distance,
// within the box and clear of one another.
TEST(DeviationFigure, PointsAreNamed) {
  const std::string flat = figure({{0, 0, 0}, {500, 0, 0}, {500, 400, 0}},
                                  {{0, -0.65, 0}, {0, -1.82, 0.4}, {0, 2.47, 0}});
  const std::string text = printed::flowing_text_of(flat);
  for (const char* label : {"A: 0.65", "1: 1.86", "B: 2.47"}) {
    EXPECT_THAT(text, ::testing::HasSubstr(label));
  }
  printed::expect_tidy(flat);
  printed::expect_within(flat, {10, 10, 95, 80});
  const std::string space = figure({{0, 0, 0}, {400, 0, 0}, {400, 300, 0}, {400, 300, 250}},
                                   {{0, 0, 0}, {0.5, 0, 0}, {1, 1, 0}, {2, -1, 1}});
  EXPECT_THAT(printed::flowing_text_of(space), ::testing::HasSubstr("B: 2.45"));
  printed::expect_tidy(space);
  printed::expect_within(space, {10, 10, 95, 80});
}

}  // namespace
}  // namespace bight::papers

#include "service/pictures.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace bight::service {
namespace {

// The three views show the part's true sizes: an L of 25 tube, 175 by 205 over all.
TEST(Pictures, FlatViewsHaveTrueSizes) {
  const auto table =
      *geometry::BendTable::make({{112.5, base::Angle(), base::Angle::degrees(90), 50}}, 155);
  const auto views = flat_views(table, geometry::Frame(), *stock::Section::round_tube(25, 1.5));
  ASSERT_EQ(views.size(), 3u);
  EXPECT_EQ(views[0].title, "from above");
  double right_mm = -1e9;
  double high_mm = -1e9;
  for (const auto& line : views[0].outlines_mm) {
    for (const auto& p : line) {
      right_mm = std::max(right_mm, p.x());
      high_mm = std::max(high_mm, p.y());
    }
  }
  // 112.5 + 50 + half the tube, and 50 + 155.
  EXPECT_NEAR(right_mm, 175.0, 0.05);
  EXPECT_NEAR(high_mm, 205.0, 0.05);
  EXPECT_FALSE(views[1].outlines_mm.empty());
}

TEST(Pictures, SvgShowsTheViews) {
  const auto table = *geometry::BendTable::make({}, 500);
  const auto svg = views_svg(table, *stock::Section::round_tube(25, 1.5), {});
  ASSERT_TRUE(svg.ok()) << svg.failure().text();
  EXPECT_NE(svg->find("<svg"), std::string::npos);
}

}  // namespace
}  // namespace bight::service

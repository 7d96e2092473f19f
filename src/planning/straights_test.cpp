#include "planning/straights.h"

#include <gtest/gtest.h>

#include "planning/sample_shop_test_util.h"

namespace bight::planning {
namespace {

using sample::row;

// 100 | 200 | 300 | 400 with arcs of 10, 20, 30: what is not yet bent is straight and counts (by
// hand).
TEST(Straights, RunToTheNextMadeBendOrTheEnd) {
  const geometry::BendTable table =
      *geometry::BendTable::make({row(100, 0, 90), row(200, 0, 90), row(300, 0, 90)}, 400);
  const std::vector<Beside> found =
      straights_beside(table, {10, 20, 30}, {{1, End::kA}, {0, End::kB}, {2, End::kB}});
  EXPECT_DOUBLE_EQ(found[0].ahead.length_mm, 100 + 10 + 200);
  EXPECT_TRUE(found[0].ahead.to_end);
  EXPECT_EQ(found[0].ahead.first, 0u);
  EXPECT_EQ(found[0].ahead.last, 1u);
  EXPECT_DOUBLE_EQ(found[0].behind.length_mm, 300 + 30 + 400);
  EXPECT_TRUE(found[0].behind.to_end);
  EXPECT_EQ(found[0].behind.first, 2u);
  EXPECT_EQ(found[0].behind.last, 3u);
  EXPECT_DOUBLE_EQ(found[1].ahead.length_mm, 200);
  EXPECT_FALSE(found[1].ahead.to_end);
  EXPECT_DOUBLE_EQ(found[1].behind.length_mm, 100);
  EXPECT_TRUE(found[1].behind.to_end);
  EXPECT_DOUBLE_EQ(found[2].ahead.length_mm, 400);
  EXPECT_DOUBLE_EQ(found[2].behind.length_mm, 300);
  EXPECT_EQ(found[2].behind.first, 2u);
  EXPECT_EQ(found[2].behind.last, 2u);
}

}  // namespace
}  // namespace bight::planning

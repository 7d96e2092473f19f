#include "mechanics/difficulty.h"

#include <gtest/gtest.h>

#include <limits>

namespace bight::mechanics {
namespace {

using base::Angle;

TEST(Difficulty, ReproducesTheFormulaSheet) {
  // Proves Fb on four tubes. Formula: trade formula sheet (address withheld), read; the four
  // numbers were worked by hand from it, to three decimals.
  struct Row {
    double od_mm, wall_mm, d_of_bend, expected;
    bool simple;
  };
  for (const Row& row : {Row{25.4, 1.65, 2.0, 4.039, true}, Row{38.1, 1.65, 1.5, 6.412, true},
                         Row{50.8, 1.65, 2.0, 5.579, true}, Row{76.2, 1.65, 1.0, 14.236, false}}) {
    const auto result =
        bend_difficulty({row.od_mm, row.wall_mm, row.d_of_bend * row.od_mm, Angle::degrees(180)});
    ASSERT_TRUE(result.ok());
    EXPECT_NEAR(result->number_ratio, row.expected, 1e-3);
    EXPECT_EQ(result->simple, row.simple);
  }
}

TEST(Difficulty, RefusesWhatIsNoBend) {
  // Proves both failure codes.
  EXPECT_EQ(bend_difficulty({25, 13, 50, Angle::degrees(90)}).failure().code, "difficulty.size");
  EXPECT_EQ(bend_difficulty({25, 1, 0, Angle::degrees(90)}).failure().code, "difficulty.size");
  EXPECT_EQ(
      bend_difficulty({std::numeric_limits<double>::quiet_NaN(), 1, 50, Angle()}).failure().code,
      "difficulty.size");
  EXPECT_EQ(bend_difficulty({25, 1, 50, Angle::degrees(-1)}).failure().code, "difficulty.angle");
}

}  // namespace
}  // namespace bight::mechanics

#include "rules/pressure_wall.h"

#include <gtest/gtest.h>

#include <array>

namespace bight::rules {
namespace {

TEST(PressureWall, BendFactorsOfThePublishedSheet) {
  // Proves I at nine D/R pairs. Source: calculation sheet to ASME B31.1-2018 for 1.5 NPS bends,
  // printed to two decimals, recomputed here to four: tolerance 0.005 for the print, 5e-5 for ours.
  struct Row {
    double od_mm, clr_mm, intrados, extrados;
  };
  const std::array<Row, 9> rows{{{60.3, 76.2, 1.3274, 0.8583},
                                 {88.9, 114.3, 1.3182, 0.8600},
                                 {114.3, 152.4, 1.3000, 0.8636},
                                 {141.3, 190.5, 1.2947, 0.8647},
                                 {168.3, 228.6, 1.2913, 0.8655},
                                 {219.1, 304.8, 1.2805, 0.8678},
                                 {323.8, 457.2, 1.2741, 0.8692},
                                 {355.6, 533.4, 1.2500, 0.8750},
                                 {610.0, 915.0, 1.2500, 0.8750}}};
  for (const Row& row : rows) {
    const auto factors = bend_factors(row.od_mm, row.clr_mm);
    ASSERT_TRUE(factors.ok());
    EXPECT_NEAR(factors->intrados_ratio, row.intrados, 5.1e-5);
    EXPECT_NEAR(factors->extrados_ratio, row.extrados, 5.1e-5);
  }
}

TEST(PressureWall, FactorsTendToStraightPipe) {
  // Proves the limits: a wide bend is a straight pipe, and EN 13480-3's form (recalled) is the same
  // algebra.
  EXPECT_NEAR(bend_factors(100, 1e9)->intrados_ratio, 1.0, 1e-6);
  EXPECT_NEAR(bend_factors(100, 1e9)->extrados_ratio, 1.0, 1e-6);
  const double k = 2.7;
  EXPECT_NEAR(bend_factors(100, 270)->intrados_ratio, (k - 0.25) / (k - 0.5), 1e-12);
  EXPECT_NEAR(bend_factors(100, 270)->extrados_ratio, (k + 0.25) / (k + 0.5), 1e-12);
}

TEST(PressureWall, WallOfStraightPipe) {
  // Proves the formula with I = 1 by hand: 10 MPa, D 100, SEW 100 MPa, y 0.4, A 1:
  // 1000/(2 (100 + 4)) + 1 = 5.8077.
  EXPECT_NEAR(bend_wall_mm({100, 10, 100, 0.4, 1}, 1.0), 5.8077, 1e-4);
  EXPECT_GT(bend_wall_mm({100, 10, 100, 0.4, 1}, 1.25), bend_wall_mm({100, 10, 100, 0.4, 1}, 1.0));
}

TEST(PressureWall, RefusesWhatIsNoBend) {
  // Proves the failure code.
  EXPECT_EQ(bend_factors(100, 50).failure().code, "rules.fact");
  EXPECT_EQ(bend_factors(0, 50).failure().code, "rules.fact");
}

}  // namespace
}  // namespace bight::rules

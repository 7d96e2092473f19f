#include "mechanics/tooling_size.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>

namespace bight::mechanics {
namespace {

using base::Angle;

TEST(ToolingSize, NoseDiameterAndAdvance) {
  // Proves Md, S and 2/3 S on four tubes. Md: trade formula sheet (address withheld), read;
  // S: Pythagoras as the trade encyclopaedia describes it, worked to three decimals by hand.
  struct Row {
    double od_mm, wall_mm, clr_mm, nose_mm, deepest_mm, two_thirds_mm;
  };
  for (const Row& row :
       {Row{50.8, 1.65, 101.6, 47.1535, 6.588, 4.392}, Row{25.4, 1.65, 50.8, 21.7535, 4.626, 3.084},
        Row{38.1, 1.65, 57.15, 34.4535, 5.080, 3.386},
        Row{76.2, 1.65, 76.2, 72.5535, 6.245, 4.164}}) {
    const auto advance = nose_advance({row.od_mm, row.wall_mm, row.clr_mm});
    ASSERT_TRUE(advance.ok());
    EXPECT_NEAR(advance->nose_mm, row.nose_mm, 1e-4);
    EXPECT_NEAR(advance->deepest_mm, row.deepest_mm, 1e-3);
    EXPECT_NEAR(advance->recommended_mm, row.two_thirds_mm, 1e-3);
  }
}

TEST(ToolingSize, NoseAtDeepestAdvanceTouchesTheBore) {
  // Proves S by another road: walk the mandrel's flank forward until its distance from the bend
  // centre equals the bore's outboard radius.
  const BendSize size{38.1, 1.65, 114.3};
  const double flank_mm = size.clr_mm + (38.1 - 2.21 * 1.65) / 2;
  const double bore_mm = size.clr_mm + 38.1 / 2 - 1.65;
  double advance_mm = 0.0;
  while (std::hypot(flank_mm, advance_mm) < bore_mm) advance_mm += 1e-5;
  EXPECT_NEAR(nose_advance(size)->deepest_mm, advance_mm, 1e-4);
}

TEST(ToolingSize, AdvanceTable) {
  // Proves the table and its rounding. Source: tooling maker's page (address withheld), read:
  // OD 25, 38, 50.8 (row 45-53), 114.3 (row 85-117).
  EXPECT_DOUBLE_EQ(*table_advance_mm(25), 5);
  EXPECT_DOUBLE_EQ(*table_advance_mm(38), 5.5);
  EXPECT_DOUBLE_EQ(*table_advance_mm(38.1), 5.5);  // the trade's example, 38.1 x 1.6 at R 114.3
  EXPECT_DOUBLE_EQ(*table_advance_mm(50.8), 6);
  EXPECT_DOUBLE_EQ(*table_advance_mm(114.3), 8);
  EXPECT_DOUBLE_EQ(*table_advance_mm(24.4), 4);
  EXPECT_DOUBLE_EQ(*table_advance_mm(24.5), 5);
  EXPECT_DOUBLE_EQ(*table_advance_mm(6), 0.75);
  EXPECT_DOUBLE_EQ(*table_advance_mm(152.4), 9);
  for (const double od_mm : {5.4, 152.5, -3.0, 1e300, std::numeric_limits<double>::quiet_NaN()}) {
    EXPECT_EQ(table_advance_mm(od_mm).failure().code, "tooling.advance-range");
  }
}

TEST(ToolingSize, TableAgreesWithGeometry) {
  // Proves that table and formula describe the same tube: within 1 mm for 50.8 x 1.65 at 2 D
  // (the table measures to the front edge, nose radius included; the formula does not).
  EXPECT_NEAR(*table_advance_mm(50.8), nose_advance({50.8, 1.65, 101.6})->deepest_mm, 1.0);
}

TEST(ToolingSize, WiperClampAndPressureDie) {
  // Proves the wiper edge against the formula sheet's own pairs: 2 in OD -> 0.008 in,
  // 1 in OD -> 0.006 in (trade formula sheet, address withheld; the floor is 0.15 mm here).
  EXPECT_NEAR(*wiper_edge_mm(50.8), 0.008 * 25.4, 1e-9);
  EXPECT_NEAR(*wiper_edge_mm(25.4), 0.006 * 25.4, 0.003);
  EXPECT_DOUBLE_EQ(*wiper_edge_mm(25.4), 0.15);
  EXPECT_DOUBLE_EQ(*clamp_length_mm(38.1), 76.2);  // 2 x D, trade note, read
  EXPECT_NEAR(*pressure_die_length_mm({38.1, 1.65, 114.3}, Angle::degrees(180)),
              114.3 * std::numbers::pi + 76.2, 1e-9);
}

TEST(ToolingSize, DoubleWallNose) {
  // Proves Md = (T - 2 Wo) - 2.21 Wi (trade formula sheet, address withheld).
  EXPECT_NEAR(*double_wall_mandrel_nose_mm(50.8, 1.2, 1.0), 50.8 - 2.4 - 2.21, 1e-12);
}

TEST(ToolingSize, RefusesWhatIsNoTube) {
  // Proves each failure code of the sizes.
  EXPECT_EQ(mandrel_nose_mm(10, 4.8).failure().code, "tooling.size");
  EXPECT_EQ(mandrel_nose_mm(10, 5).failure().code, "tooling.size");
  EXPECT_EQ(double_wall_mandrel_nose_mm(10, 0, 1).failure().code, "tooling.size");
  EXPECT_EQ(nose_advance({50, 2, 0}).failure().code, "tooling.size");
  EXPECT_EQ(wiper_edge_mm(-1).failure().code, "tooling.size");
  EXPECT_EQ(clamp_length_mm(0).failure().code, "tooling.size");
  EXPECT_EQ(pressure_die_length_mm({50, 2, -1}, Angle::degrees(90)).failure().code, "tooling.size");
  EXPECT_EQ(pressure_die_length_mm({50, 2, 100}, Angle()).failure().code, "tooling.angle");
}

}  // namespace
}  // namespace bight::mechanics

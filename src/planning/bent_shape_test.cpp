#include "planning/bent_shape.h"

#include <gtest/gtest.h>

#include <random>

#include "geometry/centreline.h"

namespace bight::planning {
namespace {

using base::Angle;
using geometry::BendTable;

// Corners and ends stay where the drawing puts them when the radii change, on random parts.
TEST(BentShapeProperty, CornersStay) {
  std::mt19937_64 random(17);
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  for (int trial = 0; trial < 200; ++trial) {
    std::vector<geometry::BendRow> rows;
    std::vector<double> radii;
    for (int i = 0; i < 6; ++i) {
      rows.push_back({100 + 200 * unit(random), Angle::degrees(i == 0 ? 0 : 360 * unit(random)),
                      Angle::degrees(2 + 147 * unit(random)), 50 + 20 * unit(random)});
      radii.push_back(50 + 25 * unit(random));
    }
    const BendTable drawn = *BendTable::make(rows, 300);
    const BendTable bent = with_radii(drawn, radii);
    const auto before = geometry::corner_points_mm(drawn);
    const auto after = geometry::corner_points_mm(bent);
    ASSERT_EQ(before.size(), after.size());
    for (std::size_t i = 0; i < before.size(); ++i) {
      ASSERT_LT((before[i] - after[i]).norm(), 1e-9);
    }
  }
}

// A U keeps its reach: the back of the return lies where it was drawn.
TEST(BentShape, UKeepsItsReach) {
  const BendTable u = *BendTable::make({{100, Angle(), Angle::degrees(180), 50}}, 100);
  const BendTable bent = with_radii(u, {53});
  EXPECT_NEAR(bent.rows()[0].straight_mm + 53, 150, 1e-12);
  EXPECT_NEAR(bent.last_straight_mm(), 97, 1e-12);
}

}  // namespace
}  // namespace bight::planning

#include <gtest/gtest.h>

#include "mechanics/three_roll.h"

namespace bight::mechanics {
namespace {

TEST(RollBar, CarriesTheSectionLaw) {
  // Proves the bar made of section and flow curve on the worked tubes: springback inversion
  // 5000 -> 3782.24, 2000 -> 1770.82, 1500 -> 1351.84 (perfectly plastic, E 205 GPa, computed
  // independently of this program).
  struct Row {
    double od_mm, wall_mm, yield_mpa, released_mm, loaded_mm;
  };
  for (const Row& row : {Row{50.8, 3.0, 250, 5000, 3782.24}, Row{50.8, 3.0, 250, 2000, 1770.82},
                         Row{42.4, 2.6, 235, 1500, 1351.84}}) {
    const auto bar = roll_bar(*stock::Section::round_tube(row.od_mm, row.wall_mm),
                              *stock::FlowCurve::perfect(205000, row.yield_mpa));
    EXPECT_DOUBLE_EQ(bar.depth_mm, row.od_mm);
    EXPECT_NEAR(*loaded_clr_mm(bar, row.released_mm), row.loaded_mm, 0.01);
  }
}

}  // namespace
}  // namespace bight::mechanics

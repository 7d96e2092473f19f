#include "mechanics/ovality_measure.h"

#include <gtest/gtest.h>

#include <array>
#include <limits>

namespace bight::mechanics {
namespace {

TEST(OvalityMeasure, MeasuredSections) {
  // Proves u1 on sections of measured rotary-draw bends, tube 21.976 mm: lateral, radial, u1 in %.
  // Source: open data set of 318 bends, Oz, Knoche, Yazdani, Engel, Van Laerhoven 2025,
  // arXiv 2509.10272, bends 2 and 24, stations 0° to 40° along the bend.
  struct Row {
    double lateral_mm, radial_mm, percent;
  };
  const std::array<Row, 10> rows{{{22.146, 21.453, 3.15},
                                  {22.153, 21.763, 1.77},
                                  {22.109, 21.427, 3.11},
                                  {22.030, 21.396, 2.88},
                                  {22.001, 21.334, 3.03},
                                  {22.199, 21.772, 1.94},
                                  {22.165, 21.517, 2.95},
                                  {22.151, 21.463, 3.13},
                                  {22.139, 21.403, 3.35},
                                  {22.097, 21.441, 2.99}}};
  for (const Row& row : rows) {
    const auto measures = ovality_measures({row.lateral_mm, row.radial_mm, 21.976});
    EXPECT_NEAR(100 * measures->of_nominal_ratio, row.percent, 0.01);
  }
}

TEST(OvalityMeasure, RollCageTube) {
  // Proves that the measures differ: 45 mm tube measured 46.1 / 42.0 has Dmin/Dmax 0.911 and
  // ovality 9.1 % of nominal (ratio limit 0.9: rule text of an international motor-sport body,
  // 2009, read; worked by hand).
  const auto measures = ovality_measures({46.1, 42.0, 45.0});
  EXPECT_NEAR(measures->round_ratio, 0.911, 5e-4);
  EXPECT_NEAR(100 * measures->of_nominal_ratio, 9.1, 0.05);
  EXPECT_NEAR(100 * measures->of_mean_ratio, 200 * 4.1 / 88.1, 1e-9);
  EXPECT_NEAR(measures->least_ratio, 42.0 / 45.0, 1e-12);
}

TEST(OvalityMeasure, RefusesWhatIsNoSection) {
  // Proves the failure code.
  EXPECT_EQ(ovality_measures({40, 41, 40}).failure().code, "ovality.size");
  EXPECT_EQ(ovality_measures({40, 0, 40}).failure().code, "ovality.size");
  EXPECT_EQ(ovality_measures({40, 39, std::numeric_limits<double>::infinity()}).failure().code,
            "ovality.size");
}

}  // namespace
}  // namespace bight::mechanics

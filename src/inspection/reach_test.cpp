#include "inspection/reach.h"

#include <gtest/gtest.h>

#include "geometry/centreline.h"
#include "geometry/corners.h"
#include "inspection/sample_part_test_util.h"

namespace bight::inspection {
namespace {

using geometry::Vec3;

geometry::BendTable worked() {
  return geometry::to_bend_table(
             {{0, 0, 0}, {250, 0, 0}, {400, 180, 0}, {520, 180, 240}, {300, 60, 410}}, {60, 60, 75})
      ->table;
}

// End B of the worked part moves per 0.1° by 0.136, 0.596 and 0.439 mm for the bends, 0.716 and
// 0.520 mm for the rotations, and 1 mm per mm of straight (worked outside this project).
TEST(ReachReference, WorkedPart) {
  const geometry::BendTable table = worked();
  const std::vector<EntryOf> all = entries(table);
  const std::vector<Vec3> reach = reach_of_end_b(table);
  ASSERT_EQ(reach.size(), 9u);
  const double tenth_rad = base::Angle::degrees(0.1).rad();
  std::vector<double> bends_mm;
  std::vector<double> rotations_mm;
  for (std::size_t k = 0; k < all.size(); ++k) {
    if (all[k].entry == Entry::kStraight) {
      EXPECT_NEAR(reach[k].norm(), 1.0, 1e-12);
    } else {
      (all[k].entry == Entry::kAngle ? bends_mm : rotations_mm)
          .push_back(reach[k].norm() * tenth_rad);
    }
  }
  // Printed to three decimals.
  EXPECT_NEAR(bends_mm[0], 0.136, 0.0005);
  EXPECT_NEAR(bends_mm[1], 0.596, 0.0005);
  EXPECT_NEAR(bends_mm[2], 0.439, 0.0005);
  EXPECT_NEAR(rotations_mm[0], 0.716, 0.0005);
  EXPECT_NEAR(rotations_mm[1], 0.520, 0.0005);
}

// Against central differences of the laid-out part.
TEST(ReachReference, Differences) {
  const geometry::BendTable table = worked();
  const std::vector<Vec3> reach = reach_of_end_b(table);
  for (std::size_t k = 0; k < reach.size(); ++k) {
    const double step = 1e-5;
    std::vector<double> amounts(reach.size(), 0.0);
    amounts[k] = step;
    const Vec3 more_mm = geometry::lay_out(shifted(table, amounts)).end_mm();
    amounts[k] = -step;
    const Vec3 less_mm = geometry::lay_out(shifted(table, amounts)).end_mm();
    EXPECT_LT(((more_mm - less_mm) / (2.0 * step) - reach[k]).norm(), 1e-5) << k;
  }
}

// Nothing added is the table itself; a bend is never lost.
TEST(Reach, ShiftingKeepsEveryBend) {
  const geometry::BendTable table = worked();
  std::vector<double> amounts(9, 0.0);
  EXPECT_EQ(shifted(table, amounts), table);
  for (std::size_t k = 0; k < 9; ++k) {
    if (entries(table)[k].entry == Entry::kAngle) amounts[k] = -10.0;
  }
  EXPECT_EQ(shifted(table, amounts).num_bends(), 3u);
}

}  // namespace
}  // namespace bight::inspection

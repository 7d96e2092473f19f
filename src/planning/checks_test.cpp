#include "planning/checks.h"

#include <gtest/gtest.h>

#include "planning/sample_shop_test_util.h"

namespace bight::planning {
namespace {

using base::Angle;

// Legs 300 and 300, 90°: 424.3 across; 430 measured means 88.4°; 431 means 88.17°, so 1 mm is
// about 0.3° (common practice, no source; cosine rule).
TEST(ChecksReference, TapeTriangle) {
  EXPECT_NEAR(across_mm(Angle::degrees(90), 300), 424.3, 0.05);
  EXPECT_NEAR(angle_from_across(300, 300, 430).deg(), 88.44, 0.005);
  EXPECT_NEAR(angle_from_across(300, 300, 431).deg(), 88.17, 0.01);
  EXPECT_NEAR(angle_from_across(300, 200, std::sqrt(300. * 300 + 200. * 200)).deg(), 90, 1e-9);
}

// A U of 700 x 500 over the outside measures just that.
TEST(Checks, OverallSizeOfAU) {
  const part::Part part = sample::u_part();
  const auto checks = check_dimensions(part.table, part.section, {});
  EXPECT_NEAR(checks[0].value_mm, 500, 1e-9);
  EXPECT_NEAR(checks[1].value_mm, 700, 1e-9);
  EXPECT_NEAR(checks[2].value_mm, 38.1, 1e-9);
  EXPECT_NEAR(checks[3].value_mm, 700 - 38.1, 1e-9);
  EXPECT_EQ(checks[4].label, "end A to outside of bend 1");
  EXPECT_NEAR(checks[4].value_mm, 500, 1e-9);
}

// A leg too short to mark on straight tube gives no triangle; shallow bends neither.
TEST(Checks, OnlyWhatATapeCanReach) {
  const part::Part part = sample::tube_part({sample::row(2, 0, 90), sample::row(300, 0, 5)}, 300);
  for (const CheckDimension& check : check_dimensions(part.table, part.section, {})) {
    EXPECT_EQ(check.label.find("across, "), std::string::npos) << check.label;
  }
}

}  // namespace
}  // namespace bight::planning

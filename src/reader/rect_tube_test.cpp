#include <gtest/gtest.h>

#include <sstream>

#include "exchange/step_write.h"
#include "reader/step_scan.h"
#include "reader/tube.h"

namespace bight::reader {
namespace {

using base::Angle;

Scan scan_of(const stock::Section& section) {
  const auto table = geometry::BendTable::make(
      {{100, Angle(), Angle::degrees(90), 80}, {60, Angle::degrees(90), Angle::degrees(30), 80}},
      80);
  std::istringstream stream(*exchange::step_text(section, geometry::lay_out(*table)));
  return scan_step(stream).value();
}

// Outlines of rounded and sharp sections, outer and inner, height in the first bend's plane.
TEST(RectTube, FindsBothOutlines) {
  const Scan scan = scan_of(*stock::Section::rect_tube(40, 25, 2, 5));
  const auto tube = find_rect_tube(scan);
  ASSERT_TRUE(tube.has_value());
  EXPECT_TRUE(tube->hollow);
  ASSERT_EQ(tube->outlines.size(), 2U);
  EXPECT_NEAR(tube->outlines[0].half_height_mm, 15, 1e-9);
  EXPECT_NEAR(tube->outlines[0].half_width_mm, 7.5, 1e-9);
  EXPECT_NEAR(tube->outlines[0].corner_mm, 5, 1e-9);
  EXPECT_NEAR(tube->outlines[1].corner_mm, 3, 1e-9);
  EXPECT_EQ(tube->skin_faces.size(), scan.faces.size() - 2);
  const auto sharp = find_rect_tube(scan_of(*stock::Section::rect_bar(30, 12)));
  ASSERT_TRUE(sharp.has_value());
  EXPECT_FALSE(sharp->hollow);
  EXPECT_NEAR(sharp->outlines[0].half_height_mm, 15, 1e-9);
  EXPECT_NEAR(sharp->outlines[0].half_width_mm, 6, 1e-9);
}

// A round tube has no corners.
TEST(RectTube, RoundIsNotRectangular) {
  EXPECT_FALSE(find_rect_tube(scan_of(*stock::Section::round_tube(25, 2))).has_value());
}

}  // namespace
}  // namespace bight::reader

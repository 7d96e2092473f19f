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
      {{100, Angle(), Angle::degrees(90), 60}, {50, Angle::degrees(30), Angle::degrees(45), 60}},
      80);
  std::istringstream stream(*exchange::step_text(section, geometry::lay_out(*table)));
  return scan_step(stream).value();
}

// Outer and inner skin are found, with every face of the sides and no other.
TEST(RoundTube, FindsBothSkins) {
  const Scan scan = scan_of(*stock::Section::round_tube(25, 2));
  const auto tube = find_round_tube(scan);
  ASSERT_TRUE(tube.has_value());
  EXPECT_TRUE(tube->hollow);
  ASSERT_EQ(tube->outlines.size(), 2U);
  EXPECT_NEAR(tube->outlines[0].corner_mm, 12.5, 1e-9);
  EXPECT_NEAR(tube->outlines[1].corner_mm, 10.5, 1e-9);
  EXPECT_EQ(tube->skin_faces.size(), scan.faces.size() - 2);
  EXPECT_EQ(tube->run.size(), 5U);
}

// A bore off the axis, as moved by hand in the scan, is noticed.
TEST(RoundTube, NoticesAnEccentricBore) {
  Scan scan = scan_of(*stock::Section::round_tube(25, 2));
  for (ScanFace& face : scan.faces) {
    const bool bore = face.kind == SurfaceKind::kTorus ? face.minor_mm < 11 : face.radius_mm < 11;
    if (face.kind == SurfaceKind::kPlane || !bore) continue;
    const Vec3 shift(0.0, 0.0, 0.3);
    face.origin_mm += shift;
    for (Sample& sample : face.grid) sample.point_mm += shift;
  }
  const auto tube = find_round_tube(scan);
  ASSERT_TRUE(tube.has_value());
  bool noticed = false;
  for (const part::Finding& finding : tube->findings) noticed |= finding.code == "step.eccentric";
  EXPECT_TRUE(noticed);
}

// A rectangular tube is no round one, though its corners are round.
TEST(RoundTube, CornersAreNoTube) {
  const auto table = geometry::BendTable::make({{100, Angle(), Angle::degrees(90), 80}}, 80);
  std::istringstream stream(
      *exchange::step_text(*stock::Section::rect_tube(40, 25, 2, 5), geometry::lay_out(*table)));
  EXPECT_FALSE(find_round_tube(scan_step(stream).value()).has_value());
}

}  // namespace
}  // namespace bight::reader

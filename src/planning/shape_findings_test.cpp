#include "planning/shape_findings.h"

#include <gtest/gtest.h>

#include "geometry/corners.h"
#include "planning/planner.h"
#include "planning/sample_shop_test_util.h"

namespace bight::planning {
namespace {

using part::Severity;
using sample::find;
using sample::row;

// Straight 32 against a clamp of 95: short by 63 (common practice, no source).
TEST(ShapeFindingsReference, StraightTooShortForTheClamp) {
  workshop::Shop shop = sample::shop();
  shop.die_sets[0].radius_mm = 114.3;
  part::Part part = sample::tube_part({row(300, 0, 90), row(32, 90, 90)}, 300);
  part.radii_are_die = true;
  // Keep the straights as drawn: a die whose tube does not grow.
  workshop::TrialBend still = sample::trial(90, 90);
  still.radius_after_mm = 114.3;
  shop.trials = {sample::trial(20, 20), still};
  const Plan plan = *planning::plan(part, shop);
  const part::Finding* finding = find(plan.findings, "plan.straight-below-clamp");
  ASSERT_NE(finding, nullptr);
  EXPECT_EQ(finding->severity, Severity::kStop);
  EXPECT_EQ(finding->bend, 2u);
  EXPECT_NEAR(finding->numbers.at("missing_mm"), 63.0, 1e-9);
  EXPECT_NE(finding->message.find("short by 63.0 mm"), std::string::npos) << finding->message;
  EXPECT_NE(finding->remedy.find("contoured clamp"), std::string::npos);
}

// Radius 75 on a tube of 1.5 mm: asks whether inches are meant (common practice, no source).
TEST(ShapeFindingsReference, UnitSlipIsAsked) {
  part::Part part = sample::tube_part({row(300, 0, 90, 75)}, 300);
  part.section = *stock::Section::round_tube(1.5, 0.1);
  const Plan plan = *planning::plan(part, sample::shop());
  const part::Finding* finding = find(plan.findings, "part.unit-slip");
  ASSERT_NE(finding, nullptr);
  EXPECT_NE(finding->remedy.find("inches"), std::string::npos);
}

TEST(ShapeFindings, ShallowBendsAndMeetingArcsAreSaid) {
  const Plan plan = *planning::plan(
      sample::tube_part({row(100, 0, 90), row(0, 0, 45), row(100, 30, 1)}, 100), sample::shop());
  EXPECT_NE(find(plan.findings, "part.arcs-meet"), nullptr);
  EXPECT_NE(find(plan.findings, "part.shallow-plane"), nullptr);
}

// Coordinates with one typing error: the straight comes out negative and stops, with the radius
// that would fit.
TEST(ShapeFindingsReference, TypingErrorStops) {
  const geometry::FromCorners from = *geometry::to_bend_table(
      {{0, 0, 0}, {400, 0, 0}, {400, 30, 0}, {400, 30, 250}}, {76.2, 76.2});
  part::Part part = sample::u_part();
  part.table = from.table;
  part.start = from.start;
  const auto remedy = [&](double od_mm) {
    part.section = *stock::Section::round_tube(od_mm, 1.0);
    const Plan plan = *planning::plan(part, sample::shop());
    const part::Finding* finding = find(plan.findings, "part.overlap");
    if (finding == nullptr) return std::string("none");
    EXPECT_NEAR(finding->numbers.at("missing_mm"), 2 * 76.2 - 30, 1e-9);
    return finding->remedy;
  };
  EXPECT_NE(remedy(12.0).find("at most 15.0 mm"), std::string::npos) << remedy(12.0);
  // Less than the tube's own size is no radius to advise.
  EXPECT_EQ(remedy(38.1), "lengthen that leg by 122.4 mm");
}

// Rectangular tube bends flat on a side only; a quarter turn is well, 30° is not.
TEST(ShapeFindings, RectangularTubeLiesSquare) {
  part::Part part = sample::tube_part({row(300, 0, 90), row(300, 90, 90), row(300, 30, 90)}, 300);
  part.section = *stock::Section::rect_tube(30, 30, 2, 4);
  const std::vector<part::Finding> findings = drawing_findings(part, {});
  const part::Finding* finding = find(findings, "part.skew-plane");
  ASSERT_NE(finding, nullptr);
  EXPECT_EQ(finding->bend, 3u);
  EXPECT_EQ(finding->severity, Severity::kStop);
}

TEST(ShapeFindings, StraightPieceIsSaid) {
  EXPECT_NE(find(drawing_findings(sample::tube_part({}, 500), {}), "part.straight"), nullptr);
}

}  // namespace
}  // namespace bight::planning

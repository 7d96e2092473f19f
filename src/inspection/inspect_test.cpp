#include "inspection/inspect.h"

#include <gtest/gtest.h>

#include "geometry/corners.h"
#include "inspection/sample_part_test_util.h"

namespace bight::inspection {
namespace {

using base::Angle;
using geometry::Vec3;

const part::Finding* find(const Inspection& inspection, const std::string& code) {
  for (const part::Finding& f : inspection.findings) {
    if (f.code == code) return &f;
  }
  return nullptr;
}

part::Part corner_part() { return sample::part(38.1, 1.6, {sample::row(440, 0, 90)}, 340); }

Measured rejected() {
  Measured piece;
  piece.points_mm = {Vec3(0, 0, 0), Vec3(500, 0, 0), Vec3(500, 404.2, 0)};
  return piece;
}

// The customer's rejection: points (0,0)(500,0)(500,400), end B found at (500, 404.2), limit ±3.0.
// End A and first leg fixed: end B +4.2 along its leg, outside; best fit: 0.65, 1.86, 2.47, within.
// The report holds both, and asks which was agreed (trade example).
TEST(InspectReference, AlignmentDecides) {
  Agreement agreement;
  agreement.corner_mm = agreement.end_mm = 3.0;
  const part::Part part = corner_part();
  const Inspection by_end = *inspect(part, part.table, rejected(), agreement);
  EXPECT_EQ(by_end.verdict, Verdict::kOutside);
  EXPECT_NEAR(by_end.laid[0].deviation.points[2].along_mm, 4.2, 1e-9);
  const part::Finding* asks = find(by_end, "inspect.alignment-matters");
  ASSERT_NE(asks, nullptr);
  EXPECT_NE(asks->message.find("best fit of all points"), std::string::npos);
  EXPECT_NE(asks->message.find("end A, first leg and first plane"), std::string::npos);

  agreement.align = AlignBy::kBestFit;
  const Inspection by_fit = *inspect(part, part.table, rejected(), agreement);
  EXPECT_EQ(by_fit.verdict, Verdict::kWithin);
  EXPECT_NEAR(by_fit.laid[0].deviation.points[2].distance_mm, 2.47, 0.005);
  EXPECT_NE(find(by_fit, "inspect.alignment-matters"), nullptr);
}

// The worked example of the zone: width 0.85 passes either way, 0.75 and 0.80 only by the smallest
// zone (radius half of it); worked outside this project.
TEST(InspectReference, ZoneDecidesBetweenThreeQuartersAndFourFifths) {
  const std::vector<Vec3> drawn = {
      {0, 0, 0}, {250, 0, 0}, {400, 180, 0}, {520, 180, 240}, {300, 60, 410}};
  const geometry::FromCorners shape = *geometry::to_bend_table(drawn, {60, 60, 75});
  part::Part part = sample::part(25, 2, {sample::row(100, 0, 90)}, 100);
  part.table = shape.table;
  part.start = shape.start;
  Measured piece;
  piece.points_mm = {Vec3(10.128757, 19.998658, -4.918025), Vec3(224.704421, 144.173545, 25.544964),
                     Vec3(262.179427, 368.754609, 80.801409),
                     Vec3(364.900514, 370.61681, 328.852771),
                     Vec3(238.002599, 120.587506, 442.174752)};
  const auto verdict = [&](double width_mm, AlignBy by) {
    Agreement agreement;
    agreement.align = by;
    agreement.zone_radius_mm = width_mm / 2.0;
    return inspect(part, part.table, piece, agreement)->verdict;
  };
  EXPECT_EQ(verdict(0.85, AlignBy::kBestFit), Verdict::kWithin);
  EXPECT_EQ(verdict(0.85, AlignBy::kZone), Verdict::kWithin);
  for (const double width_mm : {0.75, 0.80}) {
    EXPECT_EQ(verdict(width_mm, AlignBy::kBestFit), Verdict::kOutside);
    EXPECT_EQ(verdict(width_mm, AlignBy::kZone), Verdict::kWithin);
  }
  EXPECT_EQ(verdict(0.73, AlignBy::kZone), Verdict::kOutside);
}

// Angles and lengths against their limits, readings that were not taken left out.
TEST(Inspect, JudgesReadings) {
  const part::Part part =
      sample::part(38.1, 1.6, {sample::row(300, 0, 90), sample::row(180, 90, 45)}, 200);
  Measured piece;
  piece.bends.resize(2);
  piece.bends[0].angle = Angle::degrees(88.8);
  piece.bends[1].straight_mm = 182.5;
  piece.bends[1].rotation = Angle::degrees(-271.0);  // 89°
  Agreement agreement;
  agreement.angle = Angle::degrees(1);
  agreement.length_mm = 3;
  const Inspection out = *inspect(part, part.table, piece, agreement);
  ASSERT_EQ(out.readings.size(), 3u);
  EXPECT_EQ(out.readings[0].what, "bend 1");
  EXPECT_NEAR(out.readings[0].off, -1.2, 1e-9);
  EXPECT_EQ(out.readings[0].verdict, Verdict::kOutside);
  EXPECT_EQ(out.readings[1].verdict, Verdict::kWithin);
  EXPECT_NEAR(out.readings[2].off, -1.0, 1e-9);
  EXPECT_EQ(out.readings[2].verdict, Verdict::kWithin);
  EXPECT_EQ(out.verdict, Verdict::kOutside);
  EXPECT_NE(find(out, "inspect.outside"), nullptr);
  EXPECT_TRUE(out.laid.empty());
}

// Guard band: within only when inside by the measuring error, outside only when beyond by it.
TEST(Inspect, GuardBandLeavesDoubtOpen) {
  EXPECT_EQ(judged(0.7, 1.0, 0.25, true), Verdict::kWithin);
  EXPECT_EQ(judged(-0.8, 1.0, 0.25, true), Verdict::kUndecided);
  EXPECT_EQ(judged(1.2, 1.0, 0.25, true), Verdict::kUndecided);
  EXPECT_EQ(judged(-1.3, 1.0, 0.25, true), Verdict::kOutside);
  EXPECT_EQ(judged(-0.8, 1.0, 0.25, false), Verdict::kWithin);
  EXPECT_EQ(judged(1.0, 1.0, 0.25, false), Verdict::kWithin);
  EXPECT_EQ(judged(5.0, std::nullopt, 0.25, true), Verdict::kNotJudged);

  const part::Part part = sample::part(38.1, 1.6, {sample::row(300, 0, 90)}, 200);
  Measured piece;
  piece.bends.resize(1);
  piece.bends[0].angle = Angle::degrees(90.9);
  Agreement agreement;
  agreement.angle = Angle::degrees(1);
  agreement.guard_band = true;
  const Inspection out = *inspect(part, part.table, piece, agreement);
  EXPECT_EQ(out.verdict, Verdict::kUndecided);
  EXPECT_NE(find(out, "inspect.undecided"), nullptr);
}

// Without a tolerance nothing passes and nothing fails, and the report says so.
TEST(Inspect, WithoutToleranceNothingIsJudged) {
  const part::Part part = corner_part();
  const Inspection out = *inspect(part, part.table, rejected(), Agreement{});
  EXPECT_EQ(out.verdict, Verdict::kNotJudged);
  EXPECT_NE(find(out, "inspect.not-judged"), nullptr);
}

// An agreed way that the measured points do not allow is said; the others are still shown.
TEST(Inspect, ImpossibleAgreedWayIsSaid) {
  Measured piece = rejected();
  piece.points_mm[0].reset();
  const part::Part part = corner_part();
  Agreement agreement;
  agreement.end_mm = 3.0;
  const Inspection out = *inspect(part, part.table, piece, agreement);
  EXPECT_NE(find(out, "inspect.align"), nullptr);
  EXPECT_EQ(out.verdict, Verdict::kNotJudged);
  EXPECT_FALSE(out.laid.empty());
  EXPECT_NE(find(out, "inspect.turn-loose"), nullptr);
}

// A section rule that is not met fails the piece.
TEST(Inspect, SectionsCount) {
  const part::Part part = sample::part(45, 2.5, {sample::row(200, 0, 90, 135)}, 200);
  Measured piece;
  piece.bends.resize(1);
  piece.bends[0].d_max_mm = 46.1;
  piece.bends[0].d_min_mm = 40.0;
  Agreement agreement;
  agreement.rules = {"rollcage-round"};
  const Inspection out = *inspect(part, part.table, piece, agreement);
  EXPECT_EQ(out.verdict, Verdict::kOutside);
  EXPECT_NE(find(out, "inspect.section"), nullptr);
}

TEST(Inspect, RefusesWhatDoesNotBelong) {
  const part::Part part = corner_part();
  Measured piece;
  EXPECT_EQ(inspect(part, part.table, piece, {}).failure().code, "inspect.nothing");
  piece.bends.resize(2);
  piece.bends[0].angle = Angle::degrees(90);
  EXPECT_EQ(inspect(part, part.table, piece, {}).failure().code, "inspect.bends");
}

}  // namespace
}  // namespace bight::inspection

#include "inspection/correction_patterns.h"

#include <gtest/gtest.h>

#include "geometry/centreline.h"
#include "inspection/sample_part_test_util.h"

namespace bight::inspection {
namespace {

using base::Angle;

const geometry::BendTable kTable =
    *geometry::BendTable::make({sample::row(150, 0, 80), sample::row(140, 70, 60),
                                sample::row(160, -50, 100), sample::row(170, 40, 120)},
                               180);

Correction corrected(const Measured& piece) {
  Commanded program;
  for (const geometry::BendRow& row : kTable.rows()) {
    program.rows.push_back(
        {row.straight_mm, row.rotation, (row.angle + Angle::degrees(1)) / (1.0 - 0.04)});
  }
  program.last_straight_mm = kTable.last_straight_mm();
  return *correct({kTable, program, std::vector<double>(4, 0.04), piece, 30.0});
}

std::vector<std::string> codes(const Correction& correction) {
  std::vector<std::string> out;
  for (const part::Finding& f : correction.findings) {
    if (f.code != "correct.weak" && f.code != "correct.none") out.push_back(f.code);
  }
  return out;
}

using Codes = std::vector<std::string>;

// Straights between bends all 2.4 mm too long: the arcs use less tube (common practice, no source).
TEST(CorrectionPatterns, StraightsAllAlikeMeanTheArc) {
  Measured piece = from_table(kTable);
  for (std::size_t i = 1; i < 4; ++i) *piece.bends[i].straight_mm += 2.4 + 0.1 * double(i);
  const Correction out = corrected(piece);
  EXPECT_EQ(codes(out), Codes{"correct.arc"});
  EXPECT_NEAR(out.findings[0].numbers.at("arc_mm"), -2.6, 1e-9);
  *piece.bends[2].straight_mm -= 5.0;
  EXPECT_NE(codes(corrected(piece)), Codes{"correct.arc"});
}

TEST(CorrectionPatterns, OneBendOffMeansASlip) {
  Measured piece = from_table(kTable);
  *piece.bends[2].angle = *piece.bends[2].angle - Angle::degrees(3);
  const Correction out = corrected(piece);
  EXPECT_EQ(codes(out), Codes{"correct.slip"});
  EXPECT_NE(out.findings[0].message.find("set angle 3"), std::string::npos);
}

TEST(CorrectionPatterns, OppositeRotationsMeanTheOtherHand) {
  const Measured piece = from_table(kTable.mirrored());
  const Correction out = corrected(piece);
  EXPECT_EQ(codes(out), Codes{"correct.mirrored"});
  for (const Change& c : out.changes) EXPECT_EQ(c.new_value, c.old_value) << c.what;
  // The same seen from points alone.
  Measured points;
  for (const geometry::Vec3& p : geometry::corner_points_mm(kTable.mirrored())) {
    points.points_mm.emplace_back(p);
  }
  EXPECT_EQ(codes(corrected(points)), Codes{"correct.mirrored"});
}

TEST(CorrectionPatterns, MeasuredFromTheOtherEnd) {
  const Correction out = corrected(from_table(kTable.reversed()));
  EXPECT_EQ(codes(out), Codes{"correct.reversed"});
  for (const Change& c : out.changes) EXPECT_EQ(c.new_value, c.old_value) << c.what;
}

TEST(CorrectionPatterns, IncludedAngles) {
  Measured piece;
  piece.bends.resize(4);
  for (std::size_t i = 0; i < 4; ++i) {
    piece.bends[i].angle = Angle::degrees(179.5) - kTable.rows()[i].angle;
  }
  const Correction out = corrected(piece);
  EXPECT_EQ(codes(out), Codes{"correct.included"});
  for (const Change& c : out.changes) EXPECT_EQ(c.new_value, c.old_value) << c.what;
}

// Every bend opens 25 % more than foreseen: another heat; the corrections stay as they are.
TEST(CorrectionPatterns, EveryBendOpensMore) {
  Measured piece = from_table(kTable);
  for (std::size_t i = 0; i < 4; ++i) {
    const Angle set = (kTable.rows()[i].angle + Angle::degrees(1)) / (1.0 - 0.04);
    piece.bends[i].angle = kTable.rows()[i].angle - (set - kTable.rows()[i].angle) * 0.25;
  }
  const Correction out = corrected(piece);
  EXPECT_EQ(codes(out), Codes{"correct.heat"});
  EXPECT_NEAR(out.findings[0].numbers.at("factor_ratio"), 1.25, 1e-9);
  EXPECT_EQ(out.changes[1].left, Left::kUsed);
}

// A piece with ordinary errors has no pattern.
TEST(CorrectionPatterns, OrdinaryErrorsMeanTheProgram) {
  Measured piece = from_table(kTable);
  const double deg[] = {0.8, -0.6, 1.0, -0.9};
  for (std::size_t i = 0; i < 4; ++i) {
    piece.bends[i].angle = *piece.bends[i].angle + Angle::degrees(deg[i]);
    *piece.bends[i].straight_mm += deg[3 - i] * 2.0;
  }
  EXPECT_EQ(codes(corrected(piece)), Codes{});
}

}  // namespace
}  // namespace bight::inspection

#include "geometry/centreline.h"

#include <gtest/gtest.h>

#include <numbers>
#include <random>

namespace bight::geometry {
namespace {

using base::Angle;

BendTable table(std::vector<BendRow> rows, double last_mm) {
  return *BendTable::make(std::move(rows), last_mm);
}

// Straights 340/180/190, R 60, two 90° bends turned by 90°: corners (0,0,0)(400,0,0)(400,300,0)
// (400,300,250) (common practice, no source).
TEST(Centreline, CornersOfASamplePart) {
  const BendTable part = table(
      {{340, Angle(), Angle::degrees(90), 60}, {180, Angle::degrees(90), Angle::degrees(90), 60}},
      190);
  const std::vector<Vec3> corners = corner_points_mm(part);
  ASSERT_EQ(corners.size(), 4u);
  EXPECT_LT((corners[1] - Vec3(400, 0, 0)).norm(), 1e-12);
  EXPECT_LT((corners[2] - Vec3(400, 300, 0)).norm(), 1e-12);
  EXPECT_LT((corners[3] - Vec3(400, 300, 250)).norm(), 1e-12);
}

// A U of 180° has no corner; it is shown by the two corners of its halves.
TEST(Centreline, UBendIsShownByTwoCorners) {
  const BendTable u = table({{100, Angle(), Angle::degrees(180), 50}}, 100);
  const std::vector<Vec3> corners = corner_points_mm(u);
  ASSERT_EQ(corners.size(), 4u);
  EXPECT_LT((corners[1] - Vec3(150, 0, 0)).norm(), 1e-12);
  EXPECT_LT((corners[2] - Vec3(150, 100, 0)).norm(), 1e-12);
  EXPECT_LT((corners[3] - Vec3(0, 100, 0)).norm(), 1e-12);
}

// The far end of a random part from product of 4x4 matrices, written apart from Frame.
TEST(CentrelineOracle, EndAgreesWithMatrixProduct) {
  std::mt19937_64 random(5);
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  for (int trial = 0; trial < 200; ++trial) {
    std::vector<BendRow> rows;
    const int num_bends = 1 + static_cast<int>(39 * unit(random));
    for (int i = 0; i < num_bends; ++i) {
      rows.push_back({250.0 * unit(random), Angle::degrees(i == 0 ? 0.0 : 360.0 * unit(random)),
                      Angle::degrees(1.0 + 330.0 * unit(random)), 20.0 + 80.0 * unit(random)});
    }
    const BendTable part = table(rows, 50.0);
    Eigen::Affine3d x = Eigen::Affine3d::Identity();
    for (const BendRow& r : part.rows()) {
      x = x * Eigen::Translation3d(r.straight_mm, 0, 0);
      x = x * Eigen::AngleAxisd(r.rotation.rad(), Vec3::UnitX());
      x = x * Eigen::Translation3d(0, r.radius_mm, 0);
      x = x * Eigen::AngleAxisd(r.angle.rad(), Vec3::UnitZ());
      x = x * Eigen::Translation3d(0, -r.radius_mm, 0);
    }
    x = x * Eigen::Translation3d(part.last_straight_mm(), 0, 0);
    ASSERT_LT((lay_out(part).end_mm() - x.translation()).norm(), 1e-9);
  }
}

// The reversed table laid out from the far end, facing back, ends where the part began.
TEST(Centreline, ReversedRunsBack) {
  const BendTable part = table({{340, Angle(), Angle::degrees(90), 60},
                                {80, Angle::degrees(70), Angle::degrees(200), 60},
                                {30, Angle::degrees(-110), Angle::degrees(35), 90}},
                               190);
  const Centreline line = lay_out(part);
  Frame back = line.end;
  back.ahead = -line.end.ahead;
  // Travelling back, the last bend still turns about its own axis: same inward side, axis flipped.
  const Frame at_last = line.bend(2).start.swept(90, Angle::degrees(35));
  back.inward = at_last.inward;
  back.normal = -at_last.normal;
  EXPECT_LT((lay_out(part.reversed(), back).end_mm() - line.start_mm()).norm(), 1e-9);
}

// Envelope against a brute force of points on the tube's skin: never outside, and touched to the
// sampling error. A 10-part random set with 200 x 72 points a segment.
TEST(CentrelineOracle, EnvelopeAgainstSampledSkin) {
  std::mt19937_64 random(11);
  std::uniform_real_distribution<double> unit(0.0, 1.0);
  for (int trial = 0; trial < 10; ++trial) {
    std::vector<BendRow> rows;
    for (int i = 0; i < 5; ++i) {
      rows.push_back({60.0 * unit(random), Angle::degrees(i == 0 ? 0.0 : 360.0 * unit(random)),
                      Angle::degrees(10.0 + 200.0 * unit(random)), 50.0 + 80.0 * unit(random)});
    }
    const Centreline line = lay_out(table(rows, 40.0));
    const Eigen::AlignedBox3d box = envelope_mm(line, 30.0);
    Eigen::AlignedBox3d sampled;
    for (const Segment& segment : line.segments) {
      for (int i = 0; i <= 200; ++i) {
        const Frame f = segment.at(segment.length_mm * i / 200);
        for (int k = 0; k < 72; ++k) {
          const double a = k * std::numbers::pi / 36.0;
          sampled.extend(f.origin_mm + 15.0 * (std::cos(a) * f.inward + std::sin(a) * f.normal));
        }
      }
    }
    for (int axis = 0; axis < 3; ++axis) {
      EXPECT_LE(box.min()[axis], sampled.min()[axis] + 1e-9);
      EXPECT_GE(box.max()[axis], sampled.max()[axis] - 1e-9);
      EXPECT_NEAR(box.min()[axis], sampled.min()[axis], 0.05);
      EXPECT_NEAR(box.max()[axis], sampled.max()[axis], 0.05);
    }
  }
}

TEST(Centreline, SamplingStaysWithinTheSagitta) {
  const Centreline line = lay_out(table({{10, Angle(), Angle::degrees(300), 100}}, 10));
  const std::vector<Vec3> p = line.sampled_mm(0.1);
  const Vec3 centre(10, 100, 0);
  for (std::size_t i = 1; i + 2 < p.size(); ++i) {
    const Vec3 middle = (p[i] + p[i + 1]) / 2.0;
    EXPECT_GE((middle - centre).norm(), 100.0 - 0.1 - 1e-9);
  }
  EXPECT_NEAR(line.length_mm(), 20 + 100 * 300 * std::numbers::pi / 180, 1e-9);
  EXPECT_LT((line.at_mm(10) - Vec3(10, 0, 0)).norm(), 1e-12);
  EXPECT_LT((line.at_mm(1e9) - line.end_mm()).norm(), 1e-12);
}

// Seen from end B the tube lies where it lay: the corners are the same points, last first.
TEST(Centreline, OtherEndKeepsThePlace) {
  const auto table = BendTable::make({{120, Angle(), Angle::degrees(50), 40},
                                      {90, Angle::degrees(70), Angle::degrees(110), 55},
                                      {60, Angle::degrees(-20), Angle::degrees(25), 40}},
                                     75);
  ASSERT_TRUE(table.ok());
  const Frame start = Frame().advanced(17).rolled(Angle::degrees(33)).swept(50, Angle::degrees(80));
  const auto there = corner_points_mm(*table, start);
  const auto back = corner_points_mm(table->reversed(), start_at_other_end(*table, start));
  ASSERT_EQ(there.size(), back.size());
  for (std::size_t i = 0; i < there.size(); ++i) {
    EXPECT_LT((there[i] - back[back.size() - 1 - i]).norm(), 1e-9);
  }
}

}  // namespace
}  // namespace bight::geometry

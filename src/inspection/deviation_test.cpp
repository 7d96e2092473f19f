#include "inspection/deviation.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <random>

#include "inspection/sample_part_test_util.h"

namespace bight::inspection {
namespace {

using base::Angle;
using geometry::Vec3;

geometry::BendTable table(double last_mm = 150.0, double angle_deg = 60.0) {
  return *geometry::BendTable::make(
      {sample::row(120, 0, 90), sample::row(80, 40, angle_deg), sample::row(90, -100, 120)},
      last_mm);
}

// The distance from a point to the centreline, against 200 000 points on it.
TEST(DeviationReference, DistanceAgreesWithDensePoints) {
  const geometry::Centreline line = geometry::lay_out(table());
  std::vector<Vec3> dense;
  const double length_mm = line.length_mm();
  for (int i = 0; i <= 200000; ++i) dense.push_back(line.at_mm(length_mm * i / 200000.0));
  std::mt19937_64 random(9);
  std::normal_distribution<double> normal(0.0, 25.0);
  for (int n = 0; n < 30; ++n) {
    // Near the middle of the part, so that its ends going on for ever do not count.
    const Vec3 p = line.at_mm(length_mm * (0.25 + 0.5 * n / 30.0)) +
                   Vec3(normal(random), normal(random), normal(random));
    double least_mm = 1e300;
    for (const Vec3& q : dense) least_mm = std::min(least_mm, (p - q).norm());
    EXPECT_NEAR(distance_mm(line, p), least_mm, 1e-4);
  }
  // Beyond end A only what lies across counts.
  EXPECT_NEAR(distance_mm(line, {-50, 3, 4}), 5.0, 1e-12);
}

// A longer last straight moves end B along its leg by as much, and nothing else; the centreline
// stays in its zone.
TEST(Deviation, LongerLastStraightMovesEndB) {
  const Pairing pairing = *Pairing::make(table(), geometry::Frame(), from_table(table(152.5)));
  const Deviation off = *pairing.deviation(AlignBy::kEndA);
  ASSERT_EQ(off.points.size(), 5u);
  for (std::size_t i = 0; i < 4; ++i) EXPECT_NEAR(off.points[i].distance_mm, 0.0, 1e-9);
  EXPECT_EQ(off.points[4].name, "end B");
  EXPECT_NEAR(off.points[4].along_mm, 2.5, 1e-9);
  EXPECT_NEAR(*off.zone_mm, 0.0, 1e-6);
}

// A piece lying anywhere is found again: the deviation does not depend on where it was measured.
TEST(Deviation, DoesNotDependOnWhereThePieceLay) {
  const geometry::BendTable bent = table(150.0, 61.0);
  Measured piece;
  const Eigen::AngleAxisd turn(1.1, Vec3(1, 2, 3).normalized());
  for (const Vec3& p : geometry::corner_points_mm(bent)) {
    piece.points_mm.emplace_back(turn * p + Vec3(300, -20, 5));
  }
  const Pairing moved = *Pairing::make(table(), geometry::Frame(), piece);
  const Pairing still = *Pairing::make(table(), geometry::Frame(), from_table(bent));
  for (const AlignBy by : {AlignBy::kEndA, AlignBy::kFirstLeg, AlignBy::kBestFit, AlignBy::kZone}) {
    const Deviation a = *moved.deviation(by);
    const Deviation b = *still.deviation(by);
    for (std::size_t i = 0; i < a.points.size(); ++i) {
      EXPECT_NEAR(a.points[i].distance_mm, b.points[i].distance_mm, 1e-6) << words(by);
    }
  }
  // 1° more in bend 2 over what follows: far more than any rounding.
  EXPECT_GT(still.deviation(AlignBy::kEndA)->worst_mm, 2.0);
  EXPECT_LT(still.deviation(AlignBy::kZone)->worst_mm,
            still.deviation(AlignBy::kBestFit)->worst_mm);
}

// Points that were not measured are left out; the agreed points alone can lay the piece down.
TEST(Deviation, AgreedPointsAlone) {
  Measured piece;
  for (const Vec3& p : geometry::corner_points_mm(table(153.0))) piece.points_mm.emplace_back(p);
  piece.points_mm[2].reset();
  const Pairing pairing = *Pairing::make(table(), geometry::Frame(), piece);
  EXPECT_EQ(pairing.num_measured(), 4u);
  const Deviation off = *pairing.deviation(AlignBy::kDatumPoints, {0, 1, 3});
  EXPECT_NEAR(off.points.back().distance_mm, 3.0, 1e-9);
  EXPECT_EQ(pairing.deviation(AlignBy::kDatumPoints, {0, 1}).failure().code, "align.datum");
  EXPECT_EQ(pairing.deviation(AlignBy::kDatumPoints, {0, 1, 2}).failure().code, "align.datum");
}

TEST(Deviation, RefusesWhatSaysNothingOfPlaces) {
  Measured piece;
  piece.bends.resize(3);
  EXPECT_EQ(Pairing::make(table(), geometry::Frame(), piece).failure().code, "inspect.points");
  piece.points_mm = {Vec3(0, 0, 0)};
  EXPECT_EQ(Pairing::make(table(), geometry::Frame(), piece).failure().code, "inspect.points");
  piece.points_mm.assign(5, std::nullopt);
  piece.points_mm[2] = Vec3(0, 0, 0);
  const Pairing one = *Pairing::make(table(), geometry::Frame(), piece);
  EXPECT_EQ(one.deviation(AlignBy::kEndA).failure().code, "align.datum");
}

TEST(Deviation, WordsLeadBack) {
  for (const char* name : {"ends", "leg", "fit", "zone", "points"}) {
    EXPECT_EQ(word(*align_by(name)), name);
  }
  EXPECT_FALSE(align_by("elsewhere").has_value());
}

}  // namespace
}  // namespace bight::inspection

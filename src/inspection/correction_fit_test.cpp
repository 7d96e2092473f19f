#include "inspection/correction_fit.h"

#include <gtest/gtest.h>

#include <random>

#include "geometry/centreline.h"
#include "inspection/sample_part_test_util.h"

namespace bight::inspection {
namespace {

using base::Angle;

const geometry::BendTable kTable = *geometry::BendTable::make(
    {sample::row(150, 0, 80), sample::row(140, 70, 60), sample::row(160, -50, 100)}, 180);

// The error that the fit states for each entry is the error it makes: 300 pieces drawn from the
// spread, points read with noise; the square of error over sigma averages 1.
TEST(CorrectionFitProperty, StatedErrorsAreTrue) {
  std::mt19937_64 random(21);
  std::normal_distribution<double> normal(0.0, 1.0);
  const Commanded program{std::vector<CommandedRow>(3), 0.0};
  double sum = 0.0;
  int count = 0;
  for (int n = 0; n < 300; ++n) {
    std::vector<double> truth;
    const ProcessSpread spread;
    for (const EntryOf& entry : entries(kTable)) {
      const double sigma = entry.entry == Entry::kStraight   ? spread.straight_mm
                           : entry.entry == Entry::kRotation ? spread.rotation.rad()
                                                             : spread.angle.rad();
      truth.push_back(sigma * normal(random));
    }
    Measured piece;
    for (const geometry::Vec3& p : geometry::corner_points_mm(shifted(kTable, truth))) {
      piece.points_mm.emplace_back(
          p + piece.error.point_mm / 2.0 *
                  geometry::Vec3(normal(random), normal(random), normal(random)));
    }
    const CorrectionFit fit =
        *fit_entries({kTable, program, {0.04, 0.04, 0.04}, piece, 38.1, spread});
    for (std::size_t k = 0; k < truth.size(); ++k) {
      const double off = (fit.errors[k].off - truth[k]) / fit.errors[k].sigma;
      sum += off * off;
      ++count;
    }
  }
  EXPECT_NEAR(sum / count, 1.0, 0.1);
}

// Short legs and shallow bends read worse, and say why.
TEST(CorrectionFit, WeakReadingsCarryTheirReason) {
  const geometry::BendTable table =
      *geometry::BendTable::make({sample::row(300, 0, 90), sample::row(15, 60, 10)}, 300);
  Measured piece;
  piece.bends.resize(2);
  piece.bends[0].angle = Angle::degrees(89);
  piece.bends[1].rotation = Angle::degrees(61);
  const Commanded program{std::vector<CommandedRow>(2), 0.0};
  const CorrectionFit fit = *fit_entries({table, program, {0.04, 0.04}, piece, 38.1});
  // A leg of 15 mm for a gauge of 60 mm.
  EXPECT_NEAR(fit.errors[1].sigma, 4.0 * piece.error.angle.rad() / 2.0, 1e-12);
  EXPECT_GT(fit.errors[3].sigma, 10.0 * piece.error.rotation.rad() / 2.0);
  EXPECT_NE(fit.errors[3].weak_because.find("bend 2"), std::string::npos);
  EXPECT_FALSE(fit.points_rms_mm.has_value());
}

TEST(CorrectionFit, RmsOfTheSameIsNothing) {
  EXPECT_NEAR(rms_of_corners(kTable, kTable), 0.0, 1e-9);
  EXPECT_GT(rms_of_corners(kTable, kTable.mirrored()), 1.0);
}

}  // namespace
}  // namespace bight::inspection

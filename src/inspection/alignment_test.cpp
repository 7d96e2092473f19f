#include "inspection/alignment.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <limits>
#include <random>

namespace bight::inspection {
namespace {

using geometry::Vec3;

// Corner points drawn, and measured with a shift of (10, 20, -5), a turn and errors: worked outside
// this project.
const Points kDrawn = {{0, 0, 0}, {250, 0, 0}, {400, 180, 0}, {520, 180, 240}, {300, 60, 410}};
const Points kMeasured = {{10.128757, 19.998658, -4.918025},
                          {224.704421, 144.173545, 25.544964},
                          {262.179427, 368.754609, 80.801409},
                          {364.900514, 370.61681, 328.852771},
                          {238.002599, 120.587506, 442.174752}};

// Equal weights, to the digits given there.
TEST(AlignmentReference, WorkedExample) {
  const Alignment fit = *best_fit(kDrawn, kMeasured);
  const double off_mm[] = {0.03122125, 0.26656024, 0.42326555, 0.41450871, 0.29429062};
  for (std::size_t i = 0; i < 5; ++i) EXPECT_NEAR(fit.off_mm[i], off_mm[i], 5e-9);
  EXPECT_NEAR(fit.rms_mm, 0.3192514026, 5e-11);
  EXPECT_NEAR(fit.worst_mm, 0.4232655520, 5e-11);
  EXPECT_NEAR(fit.move.turn(0, 0), 0.859421253161, 5e-13);
  EXPECT_NEAR(fit.move.shift_mm.x(), 10.11071357, 5e-9);
  EXPECT_NEAR(fit.move.shift_mm.y(), 19.98612663, 5e-9);
  EXPECT_NEAR(fit.move.shift_mm.z(), -4.89584018, 5e-9);
}

TEST(AlignmentReference, WeightsFourAtTheEnds) {
  const Alignment fit = *best_fit(kDrawn, kMeasured, {4, 1, 1, 1, 4});
  EXPECT_NEAR(fit.rms_mm, 0.2430848919, 5e-11);
  EXPECT_NEAR(fit.worst_mm, 0.4903506056, 5e-11);
}

// Flat part (0,0)(500,0)(500,400), end B found at (500, 404.2): with end A and the first leg fixed
// end B is 4.2 off along its leg; the best fit of the three points leaves 0.65, 1.86 and 2.47
// (trade example; the arithmetic is this one's).
TEST(AlignmentReference, RejectedPart) {
  const Points drawn = {{0, 0, 0}, {500, 0, 0}, {500, 400, 0}};
  const Points measured = {{0, 0, 0}, {500, 0, 0}, {500, 404.2, 0}};
  const Alignment fixed = *datum_fit(measured, drawn, Datum::kFirstPlane);
  EXPECT_NEAR(fixed.off_mm[0], 0.0, 1e-12);
  EXPECT_NEAR(fixed.off_mm[1], 0.0, 1e-12);
  EXPECT_NEAR(fixed.off_mm[2], 4.2, 1e-12);
  const Alignment fit = *best_fit(measured, drawn);
  EXPECT_NEAR(fit.off_mm[0], 0.65, 0.005);
  EXPECT_NEAR(fit.off_mm[1], 1.86, 0.005);
  EXPECT_NEAR(fit.off_mm[2], 2.47, 0.005);
}

Points random_points(std::mt19937_64& random, int n, double scale_mm, bool flat = false) {
  std::normal_distribution<double> normal(0.0, scale_mm);
  Points out;
  for (int i = 0; i < n; ++i) {
    out.emplace_back(normal(random), normal(random), flat ? 0.0 : normal(random));
  }
  return out;
}

Points plus(const Points& a, const Points& b) {
  Points out;
  for (std::size_t i = 0; i < a.size(); ++i) out.push_back(a[i] + b[i]);
  return out;
}

// Against Eigen's umeyama (its own code, without weights), 200 clouds of 3 to 20 points.
TEST(AlignmentReference, EigensUmeyama) {
  std::mt19937_64 random(3);
  for (int n = 0; n < 200; ++n) {
    const int count = 3 + n % 18;
    const Points a = random_points(random, count, 300.0);
    const Points b = plus(random_points(random, count, 40.0), a);
    Eigen::Matrix3Xd from(3, count);
    Eigen::Matrix3Xd to(3, count);
    for (int i = 0; i < count; ++i) {
      from.col(i) = a[static_cast<std::size_t>(i)];
      to.col(i) = b[static_cast<std::size_t>(i)];
    }
    const Eigen::Matrix4d other = Eigen::umeyama(from, to, false);
    const Alignment fit = *best_fit(a, b);
    EXPECT_TRUE(fit.move.turn.isApprox(other.topLeftCorner<3, 3>(), 1e-10));
    EXPECT_TRUE(fit.move.shift_mm.isApprox(other.topRightCorner<3, 1>(), 1e-8));
  }
}

// Against brute force: no small turn and shift about the fit lowers the weighted sum of squares,
// and no coarse turn over the whole sphere comes below it.
TEST(AlignmentReference, BruteForce) {
  std::mt19937_64 random(4);
  const Points a = random_points(random, 6, 300.0);
  const Points b = plus(random_points(random, 6, 150.0), a);
  const std::vector<double> weights = {1, 2, 0.5, 3, 1, 1};
  const Alignment fit = *best_fit(a, b, weights);
  const auto square = [&](const RigidMove& move) {
    double sum = 0.0;
    for (std::size_t i = 0; i < 6; ++i) sum += weights[i] * (move(a[i]) - b[i]).squaredNorm();
    return sum;
  };
  const double best = square(fit.move);
  double total = 0.0;
  Vec3 middle_a = Vec3::Zero();
  Vec3 middle_b = Vec3::Zero();
  for (std::size_t i = 0; i < 6; ++i) {
    total += weights[i];
    middle_a += weights[i] * a[i];
    middle_b += weights[i] * b[i];
  }
  for (double yaw = 0.0; yaw < 6.3; yaw += 0.1) {
    for (double pitch = 0.0; pitch < 3.2; pitch += 0.1) {
      for (double roll = 0.0; roll < 6.3; roll += 0.1) {
        RigidMove move;
        move.turn =
            (Eigen::AngleAxisd(yaw, Vec3::UnitZ()) * Eigen::AngleAxisd(pitch, Vec3::UnitY()) *
             Eigen::AngleAxisd(roll, Vec3::UnitX()))
                .toRotationMatrix();
        move.shift_mm = (middle_b - move.turn * middle_a) / total;
        ASSERT_GE(square(move), best * (1.0 - 1e-12));
      }
    }
  }
  for (int axis = 0; axis < 6; ++axis) {
    for (const double step : {-1e-3, 1e-3}) {
      RigidMove near = fit.move;
      if (axis < 3) {
        near.turn = Eigen::AngleAxisd(step, Vec3::Unit(axis)).toRotationMatrix() * near.turn;
      } else {
        near.shift_mm += step * 1000.0 * Vec3::Unit(axis - 3);
      }
      EXPECT_GT(square(near), best);
    }
  }
}

// A mirrored part must not fit: the best proper motion leaves an error.
TEST(Alignment, NeverMirrors) {
  Points mirrored = kDrawn;
  for (Vec3& p : mirrored) p.z() = -p.z();
  const Alignment fit = *best_fit(kDrawn, mirrored);
  EXPECT_NEAR(fit.move.turn.determinant(), 1.0, 1e-12);
  EXPECT_GT(fit.rms_mm, 50.0);
}

TEST(Alignment, SaysWhenATurnIsLoose) {
  const Points straight = {{0, 0, 0}, {100, 0, 0}, {250, 0, 0}};
  EXPECT_TRUE(best_fit(straight, straight)->turn_loose);
  const Points flat = {{0, 0, 0}, {100, 0, 0}, {100, 50, 0}};
  EXPECT_FALSE(best_fit(flat, flat)->turn_loose);
}

// The turn about the first leg alone is the best there is: none of 3600 others is better.
TEST(AlignmentReference, FirstLegRollIsBest) {
  const Alignment fit = *datum_fit(kDrawn, kMeasured, Datum::kFirstLeg);
  const Vec3 axis = (kMeasured[1] - kMeasured[0]).normalized();
  const auto square = [&](double turn_rad) {
    const Eigen::AngleAxisd roll(turn_rad, axis);
    double sum = 0.0;
    for (std::size_t i = 0; i < 5; ++i) {
      sum +=
          (roll * (fit.move(kDrawn[i]) - kMeasured[0]) + kMeasured[0] - kMeasured[i]).squaredNorm();
    }
    return sum;
  };
  for (int i = 1; i < 3600; ++i) EXPECT_GE(square(i * 0.001745), square(0.0) - 1e-9);
  EXPECT_NEAR(fit.off_mm[0], 0.0, 1e-9);
}

// There and back again is where one was.
RC_GTEST_PROP(AlignmentProperty, InverseUndoes, ()) {
  const auto number = [] { return *rc::gen::inRange(-1000, 1000) / 10.0; };
  RigidMove move;
  move.turn =
      (Eigen::AngleAxisd(number(), Vec3::UnitZ()) * Eigen::AngleAxisd(number(), Vec3::UnitX()))
          .toRotationMatrix();
  move.shift_mm = Vec3(number(), number(), number());
  const Vec3 p_mm(number(), number(), number());
  RC_ASSERT((move.inverse()(move(p_mm)) - p_mm).norm() < 1e-10);
}

TEST(Alignment, RefusesWhatCannotBeLaidOver) {
  EXPECT_EQ(best_fit({}, {}).failure().code, "align.points");
  EXPECT_EQ(best_fit(kDrawn, {kDrawn[0]}).failure().code, "align.points");
  EXPECT_EQ(best_fit(kDrawn, kDrawn, {0, 0, 0, 0, 0}).failure().code, "align.points");
  EXPECT_EQ(best_fit(kDrawn, kDrawn, {1, 1, 1, 1, -1}).failure().code, "align.number");
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_EQ(best_fit({{nan, 0, 0}}, {{0, 0, 0}}).failure().code, "align.number");
  const Points straight = {{0, 0, 0}, {100, 0, 0}};
  EXPECT_EQ(datum_fit(straight, straight, Datum::kFirstPlane).failure().code, "align.datum");
  EXPECT_TRUE(datum_fit(straight, straight, Datum::kFirstLeg).ok());
}

}  // namespace
}  // namespace bight::inspection

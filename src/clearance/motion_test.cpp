#include "clearance/motion.h"

#include <gtest/gtest.h>

#include "clearance/sample_bender_test_util.h"

namespace bight::clearance {
namespace {

using geometry::Vec3;
using sample::Angle;
using sample::uniform;

Vec3 random_point(std::mt19937_64& rng, double reach_mm) {
  return {uniform(rng, -reach_mm, reach_mm), uniform(rng, -reach_mm, reach_mm),
          uniform(rng, -reach_mm, reach_mm)};
}

Eigen::Matrix4d shift(const Vec3& by_mm) {
  Eigen::Matrix4d x = Eigen::Matrix4d::Identity();
  x.topRightCorner<3, 1>() = by_mm;
  return x;
}

// Rotation by the exponential series, so that nothing of Eigen's angle-axis is used.
Eigen::Matrix4d turn(const Vec3& nhat, double angle_rad) {
  Eigen::Matrix3d k;
  k << 0, -nhat.z(), nhat.y(), nhat.z(), 0, -nhat.x(), -nhat.y(), nhat.x(), 0;
  Eigen::Matrix3d sum = Eigen::Matrix3d::Identity();
  Eigen::Matrix3d term = Eigen::Matrix3d::Identity();
  for (int i = 1; i < 60; ++i) {
    term = term * k * (angle_rad / i);
    sum += term;
  }
  Eigen::Matrix4d x = Eigen::Matrix4d::Identity();
  x.topLeftCorner<3, 3>() = sum;
  return x;
}

Motion random_motion(std::mt19937_64& rng) {
  Motion m;
  m.origin_mm = random_point(rng, 300);
  m.nhat = random_point(rng, 1).normalized();
  m.start = Angle::radians(uniform(rng, -3, 3));
  m.turn = Angle::radians(uniform(rng, -3, 3));
  m.before_mm = random_point(rng, 300);
  m.slide_mm = random_point(rng, 300);
  m.after_mm = random_point(rng, 300);
  m.push_mm = random_point(rng, 300);
  return m;
}

// Equation m1 as a product of homogeneous matrices.
TEST(Motion, IsAProductOfMatrices) {
  std::mt19937_64 rng(1);
  for (int i = 0; i < 300; ++i) {
    const Motion m = random_motion(rng);
    const double t = uniform(rng, 0, 1);
    const Eigen::Matrix4d wanted = shift(m.after_mm + m.push_mm * t) * shift(m.origin_mm) *
                                   turn(m.nhat, m.start.rad() + m.turn.rad() * t) *
                                   shift(-m.origin_mm) * shift(m.before_mm + m.slide_mm * t);
    EXPECT_LT((m.at(t).matrix() - wanted).cwiseAbs().maxCoeff(), 1e-9);
  }
}

// Seen from axes that stand anywhere, the motion is the same one.
TEST(Motion, SeenFromStandingAxes) {
  std::mt19937_64 rng(2);
  for (int i = 0; i < 300; ++i) {
    const Motion m = random_motion(rng);
    Eigen::Isometry3d pose;
    pose.matrix() = shift(random_point(rng, 300)) * turn(random_point(rng, 1).normalized(), 1.3);
    const double t = uniform(rng, 0, 1);
    const Eigen::Matrix4d wanted = (pose.inverse() * m.at(t) * pose).matrix();
    EXPECT_LT((seen_at(pose, m).at(t).matrix() - wanted).cwiseAbs().maxCoeff(), 1e-8);
  }
}

// Seen from a carrier: carrier(t) seen(t) = tube(t), for every combination that a bender makes.
TEST(Motion, SeenFromAMovingCarrier) {
  std::mt19937_64 rng(3);
  for (int i = 0; i < 600; ++i) {
    CarrierMotion carrier;
    carrier.shift_mm = random_point(rng, 100);
    carrier.slide_mm = random_point(rng, 100);
    Motion tube;
    switch (i % 4) {
      case 0:  // a pushed tube, a turning arm
        carrier.start = Angle::radians(uniform(rng, -3, 3));
        carrier.turn = Angle::radians(uniform(rng, -3, 3));
        tube = Motion::pushed(random_point(rng, 100), random_point(rng, 100));
        break;
      case 1:  // both turn about the die, the tube wiped along
        carrier.turn = Angle::radians(uniform(rng, -3, 3));
        tube = Motion::turned(Vec3::Zero(), -Vec3::UnitZ(), Angle::radians(0.4),
                              Angle::radians(uniform(rng, -3, 3)));
        tube.slide_mm = random_point(rng, 100);
        tube.before_mm = random_point(rng, 100);
        break;
      default:  // any tube, a carrier that does not turn
        tube = random_motion(rng);
        break;
    }
    const Motion seen = seen_from(carrier, tube);
    for (const double t : {0.0, 0.3, 1.0}) {
      const Eigen::Matrix4d got = (carrier.at(t) * seen.at(t)).matrix();
      EXPECT_LT((got - tube.at(t).matrix()).cwiseAbs().maxCoeff(), 1e-9) << i << " " << t;
    }
  }
}

}  // namespace
}  // namespace bight::clearance

#include "clearance/time_span.h"

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

Motion random_motion(std::mt19937_64& rng, int kind) {
  Motion m;
  m.origin_mm = random_point(rng, 300);
  m.nhat = random_point(rng, 1).normalized();
  if (kind != 1) {
    m.start = Angle::radians(uniform(rng, -3, 3));
    m.turn = Angle::radians(uniform(rng, -6.2, 6.2));
  }
  if (kind != 0) m.push_mm = random_point(rng, 400);
  if (kind == 3) m.slide_mm = random_point(rng, 400);
  return m;
}

// The bound is never above what sampling sees, over spans of all lengths; exact for a pure turn and
// a pure push; at most second order off for both at once.
TEST(TimeSpan, DropIsCertified) {
  std::mt19937_64 rng(4);
  for (int i = 0; i < 4000; ++i) {
    const int kind = i % 4;
    const Motion m = random_motion(rng, kind);
    const double from = uniform(rng, 0, 1);
    const double to = from + (1.0 - from) * std::pow(uniform(rng, 0, 1), 3);
    const TimeSpan span = time_span(m, from, to);
    const Vec3 q_mm = random_point(rng, 800);
    const Vec3 n = random_point(rng, 1).normalized();
    const Carried mid = carried(m, span, q_mm);
    EXPECT_LT((mid.p_mm - m.at(span.mid_ratio) * q_mm).norm(), 1e-9);
    const double drop_mm = DropBound(m, span, n).drop_mm(mid.arm_mm);
    const Eigen::AlignedBox3d box = reached_mm(m, span, mid);
    double sampled_mm = 0.0;
    constexpr int kSamples = 400;
    for (int k = 0; k <= kSamples; ++k) {
      const Vec3 p_mm = m.at(from + (to - from) * k / kSamples) * q_mm;
      sampled_mm = std::min(sampled_mm, n.dot(p_mm - mid.p_mm));
      EXPECT_LE(box.exteriorDistance(p_mm), 1e-9);
    }
    EXPECT_LE(drop_mm, sampled_mm + 1e-9) << i;
    const double half = 0.5 * (to - from);
    const double turn = std::abs(m.turn.rad()) * half;
    const double reach_mm = mid.arm_mm.norm();
    // What 400 samples may have missed, then the second-order term.
    double slack_mm = 1e-9 + reach_mm * turn * turn / (kSamples * kSamples);
    if (kind >= 2) slack_mm += turn * turn * reach_mm + 3 * turn * m.slide_mm.norm() * half;
    EXPECT_GE(drop_mm, sampled_mm - slack_mm) << i;
  }
}

// Halves of a span are the spans of its halves.
TEST(TimeSpan, Halves) {
  std::mt19937_64 rng(5);
  for (int i = 0; i < 200; ++i) {
    const Motion m = random_motion(rng, i % 4);
    TimeSpan span = time_span(m, 0.0, 1.0);
    double from = 0.0;
    double to = 1.0;
    for (int level = 0; level < 20; ++level) {
      const bool second = rng() % 2 == 1;
      span = halves(m, span)[second ? 1 : 0];
      (second ? from : to) = 0.5 * (from + to);
      const TimeSpan wanted = time_span(m, from, to);
      EXPECT_EQ(span.mid_ratio, wanted.mid_ratio);
      EXPECT_EQ(span.half_ratio, wanted.half_ratio);
      EXPECT_NEAR(span.c, wanted.c, 1e-13);
      EXPECT_NEAR(span.s, wanted.s, 1e-13);
      EXPECT_NEAR(span.cos_half, wanted.cos_half, 1e-13);
      EXPECT_NEAR(span.sin_half, wanted.sin_half, 1e-12 * wanted.sin_half + 1e-16);
    }
  }
}

// circle_drop_mm by hand: a quarter turn either way of (1, 0) reaches -1, of (0, 1) reaches -1.
TEST(TimeSpan, CircleDropByHand) {
  EXPECT_NEAR(circle_drop_mm(1, 0, 0.0, 1.0), -1, 1e-15);
  EXPECT_NEAR(circle_drop_mm(0, 1, 0.0, 1.0), -1, 1e-15);
  EXPECT_NEAR(circle_drop_mm(-1, 0, 0.5, std::sqrt(0.75)), 0, 1e-15);
  EXPECT_NEAR(circle_drop_mm(1, 0, -1.0, 0.0), -2, 1e-15);
}

}  // namespace
}  // namespace bight::clearance

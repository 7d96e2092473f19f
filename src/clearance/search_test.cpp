#include "clearance/search.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <numbers>

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

Eigen::Matrix3d random_axes(std::mt19937_64& rng) {
  return Eigen::Quaterniond(uniform(rng, -1, 1), uniform(rng, -1, 1), uniform(rng, -1, 1),
                            uniform(rng, -1, 1))
      .normalized()
      .toRotationMatrix();
}

// A bent line of straights and arcs as ropes, and the same line as points 1 mm apart.
struct SampledLine {
  std::vector<Rope> ropes;
  std::vector<Vec3> points_mm;
};

SampledLine random_line(std::mt19937_64& rng, int num_bends) {
  SampledLine out;
  geometry::Frame frame;
  frame.origin_mm = random_point(rng, 400);
  const Eigen::Matrix3d axes = random_axes(rng);
  frame.ahead = axes.col(0);
  frame.inward = axes.col(1);
  frame.normal = axes.col(2);
  const auto add = [&](const geometry::Segment& s) {
    add_ropes(out.ropes, s, 0, s.length_mm, Angle());
    const int num = std::max(1, static_cast<int>(std::ceil(s.length_mm)));
    for (int i = 0; i <= num; ++i) {
      out.points_mm.push_back(s.at(s.length_mm * i / num).origin_mm);
    }
    frame = s.at(s.length_mm);
  };
  for (int i = 0; i < num_bends; ++i) {
    add({frame, uniform(rng, 0, 300), 0.0, Angle()});
    frame = frame.rolled(Angle::degrees(uniform(rng, -180, 180)));
    const double radius_mm = uniform(rng, 30, 150);
    const Angle angle = Angle::degrees(uniform(rng, 5, 190));
    add({frame, radius_mm * angle.rad(), radius_mm, angle});
  }
  add({frame, uniform(rng, 50, 800), 0.0, Angle()});
  return out;
}

Motion random_motion(std::mt19937_64& rng, int kind) {
  Motion m;
  m.origin_mm = random_point(rng, 200);
  m.nhat = random_point(rng, 1).normalized();
  if (kind != 1) {
    m.start = Angle::degrees(uniform(rng, -180, 180));
    m.turn = Angle::degrees(uniform(rng, -190, 190));
  }
  if (kind != 0) m.push_mm = random_point(rng, 300);
  if (kind == 3) m.slide_mm = random_point(rng, 300);
  m.before_mm = random_point(rng, 100);
  m.after_mm = random_point(rng, 100);
  return m;
}

// Distance by plain formulas of school geometry, sharing nothing with convex.cpp.
using Distance = std::function<double(const Vec3&)>;

std::pair<Obstacle, Distance> random_obstacle(std::mt19937_64& rng, int kind) {
  const Vec3 at_mm = random_point(rng, 700);
  const Eigen::Matrix3d axes = random_axes(rng);
  Obstacles out;
  workshop::Body body;
  body.name = "it";
  Eigen::Isometry3d pose = Eigen::Isometry3d::Identity();
  pose.linear() = axes;
  pose.translation() = at_mm;
  sample::set_pose(body, pose);
  const auto local = [=](const Vec3& p) { return Vec3(axes.transpose() * (p - at_mm)); };
  Distance distance;
  if (kind == 0) {
    const Vec3 half_mm(uniform(rng, 5, 300), uniform(rng, 5, 300), uniform(rng, 5, 300));
    body.shape = workshop::BoxShape{2 * half_mm};
    distance = [=](const Vec3& p) {
      const Vec3 q = local(p);
      const Vec3 clamped = q.cwiseMax(-half_mm).cwiseMin(half_mm);
      if (clamped != q) return (q - clamped).norm();
      return -(half_mm - q.cwiseAbs()).minCoeff();
    };
  } else if (kind == 1) {
    const double r_mm = uniform(rng, 5, 300);
    const double h_mm = uniform(rng, 5, 300);
    body.shape = workshop::CylinderShape{r_mm, 2 * h_mm};
    distance = [=](const Vec3& p) {
      const Vec3 q = local(p);
      const double rho = std::hypot(q.x(), q.y());
      const double dr = rho - r_mm;
      const double dz = std::abs(q.z()) - h_mm;
      if (dr <= 0 && dz <= 0) return std::max(dr, dz);
      return std::hypot(std::max(dr, 0.0), std::max(dz, 0.0));
    };
  } else {
    // A regular hexagon: inside by six planes, outside by its six sides.
    const double r_mm = uniform(rng, 20, 300);
    const double h_mm = uniform(rng, 10, 300);
    workshop::OutlineShape shape;
    for (int i = 0; i < 6; ++i) {
      const double a = i * std::numbers::pi / 3;
      shape.outline_mm.emplace_back(r_mm * std::cos(a), r_mm * std::sin(a));
    }
    shape.height_mm = h_mm;
    body.shape = shape;
    distance = [=](const Vec3& p) {
      const Vec3 q = local(p);
      double in = -1e300;
      double out_mm = 1e300;
      for (int i = 0; i < 6; ++i) {
        const double a = (i + 0.5) * std::numbers::pi / 3;
        in = std::max(in, q.x() * std::cos(a) + q.y() * std::sin(a) - r_mm * std::sqrt(0.75));
        const double b = i * std::numbers::pi / 3;
        const double c = (i + 1) * std::numbers::pi / 3;
        const Eigen::Vector2d u(r_mm * std::cos(b), r_mm * std::sin(b));
        const Eigen::Vector2d v(r_mm * std::cos(c), r_mm * std::sin(c));
        const double s = std::clamp((q.head<2>() - u).dot(v - u) / (v - u).squaredNorm(), 0., 1.);
        out_mm = std::min(out_mm, (q.head<2>() - u - s * (v - u)).norm());
      }
      const double flat = in <= 0 ? in : out_mm;
      const double dz = std::max(-q.z(), q.z() - h_mm);
      if (flat <= 0 && dz <= 0) return std::max(flat, dz);
      return std::hypot(std::max(flat, 0.0), std::max(dz, 0.0));
    };
  }
  EXPECT_TRUE(add_body(out, body).ok());
  EXPECT_EQ(out.size(), 1u);
  return {out.front(), distance};
}

Eigen::Isometry3d pose_at(const Motion& m, double t) {
  // The definition m1 written out as a product of homogeneous matrices.
  const auto shift = [](const Vec3& by) {
    Eigen::Matrix4d x = Eigen::Matrix4d::Identity();
    x.topRightCorner<3, 1>() = by;
    return x;
  };
  const double a = m.start.rad() + t * m.turn.rad();
  const Vec3 k = m.nhat;
  Eigen::Matrix3d cross;
  cross << 0, -k.z(), k.y(), k.z(), 0, -k.x(), -k.y(), k.x(), 0;
  Eigen::Matrix4d turn = Eigen::Matrix4d::Identity();
  turn.topLeftCorner<3, 3>() += std::sin(a) * cross + (1 - std::cos(a)) * cross * cross;
  Eigen::Isometry3d out;
  out.matrix() = shift(m.after_mm + m.push_mm * t) * shift(m.origin_mm) * turn *
                 shift(-m.origin_mm) * shift(m.before_mm + m.slide_mm * t);
  return out;
}

// Least distance over the points at one moment.
double at_moment_mm(const SampledLine& line, const Motion& m, double t, const Distance& distance) {
  const Eigen::Isometry3d pose = pose_at(m, t);
  double least_mm = 1e300;
  for (const Vec3& p : line.points_mm) least_mm = std::min(least_mm, distance(pose * p));
  return least_mm;
}

// The certified answer against 200 moments of points 1 mm apart: never above what sampling sees,
// and what it says it saw is there. Turning, pushing, both, and sliding besides, against each
// solid.
TEST(Search, AgainstDenseSampling) {
  std::mt19937_64 rng(6);
  Search search;
  SearchOptions options;
  options.tube_radius_mm = 15;
  options.tolerance_mm = 0.1;
  options.interest_mm = 5000;
  std::size_t spans = 0;
  int hits = 0;
  constexpr int kRounds = 120;
  for (int round = 0; round < kRounds; ++round) {
    const SampledLine line = random_line(rng, 1 + round % 3);
    const Motion motion = random_motion(rng, round % 4);
    const auto [obstacle, distance] = random_obstacle(rng, round % 3);
    const Obstacles obstacles{obstacle};
    Contest contest;
    contest.ropes = &line.ropes;
    contest.motion = motion;
    contest.obstacles = &obstacles;
    const std::optional<Found> found = search.run({contest}, options);
    ASSERT_TRUE(found.has_value());
    spans = std::max(spans, search.count().spans);
    double sampled_mm = 1e300;
    for (int i = 0; i <= 200; ++i) {
      sampled_mm = std::min(sampled_mm, at_moment_mm(line, motion, i / 200.0, distance));
    }
    sampled_mm -= options.tube_radius_mm;
    EXPECT_LE(found->low_mm, sampled_mm) << round;
    EXPECT_LE(found->high_mm - found->low_mm, options.tolerance_mm) << round;
    const double seen_mm = at_moment_mm(line, motion, found->share_ratio, distance) - 15;
    // Points are 1 mm apart, and a line cut at a sagitta of less than the tolerance is an arc.
    EXPECT_NEAR(found->high_mm, seen_mm, 0.51 + options.tolerance_mm) << round;
    hits += found->high_mm < 0 ? 1 : 0;
  }
  EXPECT_GT(hits, 10);
  EXPECT_LT(hits, kRounds - 10);
  EXPECT_LT(spans, 20000u);
}

// What a contest leaves open by itself cannot be narrowed down: the search says so at once, and its
// answer is as near as the spread allows.
TEST(Search, DoesNotHalveWhatTheContestLeavesOpen) {
  std::vector<Rope> ropes;
  geometry::Frame start;
  start.origin_mm = Vec3(0, 0, 100);
  add_ropes(ropes, {start, 120 * std::numbers::pi / 2, 120, Angle::degrees(90)}, 0, 200, Angle());
  const Box box{Eigen::Matrix3d::Identity(), Vec3(50, 50, -20), Vec3(300, 300, 20)};
  const Obstacles boxes{{box, bounds_mm(box), "box", false}};
  const Obstacles floor{{HalfSpace{},
                         Eigen::AlignedBox3d(Vec3::Constant(-1e9), Vec3::Constant(1e9)), "floor",
                         false}};
  for (const Obstacles* obstacles : {&boxes, &floor}) {
    Contest contest;
    contest.ropes = &ropes;
    contest.obstacles = obstacles;
    contest.motion = Motion::turned(Vec3(30, 0, 0), Vec3::UnitZ(), Angle(), Angle::degrees(5));
    contest.spread_mm = 0.3;
    SearchOptions options;
    options.tube_radius_mm = 20;
    Search search;
    const std::optional<Found> found = search.run({contest}, options);
    ASSERT_TRUE(found.has_value());
    EXPECT_LT(search.count().spans, 2000u);
    EXPECT_LE(found->low_mm, 80 - 0.3 + 1e-9);
    EXPECT_GE(found->low_mm, 80 - 0.3 - options.tolerance_mm);
    EXPECT_NEAR(found->high_mm, 80 + 0.3, options.tolerance_mm);
  }
}

}  // namespace
}  // namespace bight::clearance

// One swept step against the general-purpose collision library, on the same pairs in one run: its
// conservative advancement, its discrete check at 100 moments, and ours. Ours is asked twice:
// whether it hits (the library's question), and for the smallest distance to 0.1 mm.
//
// A scene: a tube of ten bends as 91 capsules (each arc eight, thickened by their sagitta; ours has
// the arcs themselves), twelve boxes, a turn of 1.6 rad about the die's axis. Pairs whose swept
// boxes do not meet are left out beforehand for the library and within our own time for us.
#include <benchmark/benchmark.h>
#include <fcl/math/motion/screw_motion.h>
#include <fcl/narrowphase/collision.h>
#include <fcl/narrowphase/continuous_collision.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <random>

#include "clearance/search.h"
#include "clearance/step_clearance.h"
#include "geometry/centreline.h"

namespace bight::clearance {
namespace {

using base::Angle;
using geometry::Vec3;
using Clock = std::chrono::steady_clock;

constexpr double kRadius_mm = 19.05;
constexpr int kScenes = 300;
constexpr int kArcParts = 8;
const Angle kTurn = Angle::radians(1.6);

double uniform(std::mt19937_64& rng, double low, double high) {
  return low + (high - low) * static_cast<double>(rng() >> 11) * 0x1p-53;
}

struct Capsule {
  std::shared_ptr<fcl::Capsuled> shape;
  Eigen::Isometry3d pose;
  Eigen::AlignedBox3d swept_mm;
};

struct Scene {
  std::vector<Rope> ropes;
  Obstacles boxes;
  std::vector<Capsule> capsules;
  std::vector<std::shared_ptr<fcl::Boxd>> shapes;
  std::vector<Eigen::Isometry3d> poses;
  std::vector<std::pair<std::size_t, std::size_t>> pairs;  // capsule, box
};

Eigen::AlignedBox3d swept(const Vec3& a_mm, const Vec3& b_mm, double radius_mm) {
  Eigen::AlignedBox3d box;
  for (int i = 0; i <= 64; ++i) {
    const Eigen::AngleAxisd turn(kTurn.rad() * i / 64.0, Vec3::UnitZ());
    box.extend(turn * a_mm).extend(turn * b_mm);
  }
  // Between two of the 65 moments a point strays by its sagitta at most.
  const double reach_mm = std::max(a_mm.norm(), b_mm.norm());
  const double stray_mm = reach_mm * (1.0 - std::cos(kTurn.rad() / 128.0));
  box.min().array() -= radius_mm + stray_mm;
  box.max().array() += radius_mm + stray_mm;
  return box;
}

void add_capsule(Scene& scene, const Vec3& a_mm, const Vec3& b_mm, double radius_mm) {
  Capsule c;
  const double length_mm = (b_mm - a_mm).norm();
  c.shape = std::make_shared<fcl::Capsuled>(radius_mm, length_mm);
  c.pose = Eigen::Isometry3d::Identity();
  c.pose.linear() = Eigen::Quaterniond::FromTwoVectors(Vec3::UnitZ(), b_mm - a_mm).matrix();
  c.pose.translation() = 0.5 * (a_mm + b_mm);
  c.swept_mm = swept(a_mm, b_mm, radius_mm);
  scene.capsules.push_back(std::move(c));
}

Scene random_scene(std::mt19937_64& rng) {
  Scene scene;
  geometry::Frame frame;
  frame.origin_mm = Vec3(0, -114.3, 0);
  const auto straight = [&](double length_mm) {
    const geometry::Segment s{frame, length_mm, 0.0, Angle()};
    add_ropes(scene.ropes, s, 0, 0, Angle());
    add_capsule(scene, frame.origin_mm, s.at(length_mm).origin_mm, kRadius_mm);
    frame = s.at(length_mm);
  };
  for (int i = 0; i < 10; ++i) {
    straight(uniform(rng, 60, 350));
    frame = frame.rolled(Angle::degrees(uniform(rng, -180, 180)));
    const Angle angle = Angle::degrees(uniform(rng, 15, 110));
    const geometry::Segment arc{frame, 119.0 * angle.rad(), 119.0, angle};
    add_ropes(scene.ropes, arc, 0, 0, Angle());
    const double sag_mm = 119.0 * (1.0 - std::cos(angle.rad() / (2 * kArcParts)));
    for (int k = 0; k < kArcParts; ++k) {
      add_capsule(scene, arc.at(arc.length_mm * k / kArcParts).origin_mm,
                  arc.at(arc.length_mm * (k + 1) / kArcParts).origin_mm, kRadius_mm + sag_mm);
    }
    frame = arc.at(arc.length_mm);
  }
  straight(uniform(rng, 60, 600));
  for (int i = 0; i < 12; ++i) {
    const Vec3 size_mm(uniform(rng, 40, 300), uniform(rng, 40, 300), uniform(rng, 40, 400));
    workshop::Body body;
    body.name = "box";
    body.shape = workshop::BoxShape{size_mm};
    body.turned[2] = Angle::radians(uniform(rng, -3, 3));
    const double bearing_rad = uniform(rng, -3.14, 3.14);
    const double off_mm = uniform(rng, 400, 2000);
    body.at_mm = Vec3(off_mm * std::cos(bearing_rad), off_mm * std::sin(bearing_rad),
                      uniform(rng, -1000, 1000));
    if (!add_body(scene.boxes, body).ok()) std::abort();
    scene.shapes.push_back(std::make_shared<fcl::Boxd>(size_mm));
    scene.poses.push_back(body.pose());
  }
  for (std::size_t c = 0; c < scene.capsules.size(); ++c) {
    for (std::size_t b = 0; b < scene.boxes.size(); ++b) {
      if (scene.capsules[c].swept_mm.intersects(scene.boxes[b].bounds_mm)) {
        scene.pairs.emplace_back(c, b);
      }
    }
  }
  return scene;
}

bool by_advancement(const Scene& scene) {
  fcl::ContinuousCollisionRequestd request;
  request.ccd_solver_type = fcl::CCDC_CONSERVATIVE_ADVANCEMENT;
  request.ccd_motion_type = fcl::CCDM_SCREW;
  const Eigen::Isometry3d turn(Eigen::AngleAxisd(kTurn.rad(), Vec3::UnitZ()));
  for (const auto& [c, b] : scene.pairs) {
    const Capsule& capsule = scene.capsules[c];
    fcl::ContinuousCollisionResultd result;
    fcl::continuousCollide(capsule.shape.get(), capsule.pose, turn * capsule.pose,
                           scene.shapes[b].get(), scene.poses[b], scene.poses[b], request, result);
    if (result.is_collide) return true;
  }
  return false;
}

bool by_samples(const Scene& scene) {
  const fcl::CollisionRequestd request;
  for (int i = 0; i < 100; ++i) {
    const Eigen::Isometry3d turn(Eigen::AngleAxisd(kTurn.rad() * i / 99.0, Vec3::UnitZ()));
    for (const auto& [c, b] : scene.pairs) {
      const Capsule& capsule = scene.capsules[c];
      fcl::CollisionResultd result;
      if (fcl::collide(capsule.shape.get(), turn * capsule.pose, scene.shapes[b].get(),
                       scene.poses[b], request, result) > 0) {
        return true;
      }
    }
  }
  return false;
}

std::optional<Found> by_us(Search& search, const Scene& scene, bool only_whether) {
  SearchOptions options;
  options.tube_radius_mm = kRadius_mm;
  if (only_whether) {
    options.only_whether_within_mm = 0.0;
    options.interest_mm = 1.0;
  }
  Contest contest;
  contest.ropes = &scene.ropes;
  contest.obstacles = &scene.boxes;
  contest.motion = Motion::turned(Vec3::Zero(), Vec3::UnitZ(), Angle(), kTurn);
  return search.run({contest}, options);
}

struct Times {
  std::vector<double> us;
  std::vector<bool> hit;

  double mean_us() const { return (sum_us(false) + sum_us(true)) / static_cast<double>(us.size()); }
  double mean_us(bool of_hits) const {
    const auto num = std::count(hit.begin(), hit.end(), of_hits);
    return sum_us(of_hits) / static_cast<double>(num);
  }
  double sum_us(bool of_hits) const {
    double sum = 0.0;
    for (std::size_t i = 0; i < us.size(); ++i) sum += hit[i] == of_hits ? us[i] : 0.0;
    return sum;
  }
  double median_us() const {
    std::vector<double> sorted = us;
    std::nth_element(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(us.size() / 2),
                     sorted.end());
    return sorted[us.size() / 2];
  }
  double worst_us() const { return *std::max_element(us.begin(), us.end()); }
};

template <typename Check>
Times time_all(const std::vector<Scene>& scenes, Check check) {
  Times out;
  for (const Scene& scene : scenes) {
    const auto start = Clock::now();
    const bool hit = check(scene);
    out.us.push_back(std::chrono::duration<double, std::micro>(Clock::now() - start).count());
    out.hit.push_back(hit);
  }
  return out;
}

int differ(const Times& a, const Times& b) {
  int num = 0;
  for (std::size_t i = 0; i < a.hit.size(); ++i) num += a.hit[i] != b.hit[i] ? 1 : 0;
  return num;
}

void one_motion(benchmark::State& state) {
  std::mt19937_64 rng(21);
  std::vector<Scene> scenes;
  double pairs = 0.0;
  for (int i = 0; i < kScenes; ++i) {
    scenes.push_back(random_scene(rng));
    pairs += static_cast<double>(scenes.back().pairs.size()) / kScenes;
  }
  Search search;
  const auto whether = [&](const Scene& s) {
    const std::optional<Found> found = by_us(search, s, true);
    return found.has_value() && found->low_mm <= 0.0;
  };
  const auto smallest = [&](const Scene& s) {
    const std::optional<Found> found = by_us(search, s, false);
    return found.has_value() && found->low_mm <= 0.0;
  };
  for (auto _ : state) {
    time_all(scenes, whether);  // warm
    const Times ours = time_all(scenes, whether);
    const Times exact = time_all(scenes, smallest);
    const Times advancement = time_all(scenes, by_advancement);
    const Times samples = time_all(scenes, by_samples);
    const auto row = [&](const char* name, const Times& t) {
      std::printf(
          "%-34s mean %7.1f us  median %6.1f  worst %7.1f  x ours: all %5.1f  clear %5.1f  "
          "hit %5.1f\n",
          name, t.mean_us(), t.median_us(), t.worst_us(), t.mean_us() / ours.mean_us(),
          t.mean_us(false) / ours.mean_us(false), t.mean_us(true) / ours.mean_us(true));
    };
    const auto hits = std::count(ours.hit.begin(), ours.hit.end(), true);
    std::printf("%d scenes, %.1f pairs a scene after the broad phase, %td hit\n", kScenes, pairs,
                hits);
    row("ours, whether it hits", ours);
    row("ours, smallest distance to 0.1 mm", exact);
    row("library, conservative advancement", advancement);
    row("library, 100 moments", samples);
    std::printf("answers that differ from ours: advancement %d, 100 moments %d\n",
                differ(ours, advancement), differ(ours, samples));
    state.counters["ours_us"] = ours.mean_us();
    state.counters["advancement_x"] = advancement.mean_us() / ours.mean_us();
    state.counters["samples_x"] = samples.mean_us() / ours.mean_us();
  }
}
BENCHMARK(one_motion)->Iterations(3)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace bight::clearance

#include "geometry/fit_spine.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "geometry/dense.h"

namespace bight::geometry {

namespace {

// All lengths below are in tube radii.
constexpr double kPatchBall_ratio = 0.45;  // patch for one normal: 26° of girth to either side
constexpr double kFinest_ratio = 0.05;     // closer points add nothing
constexpr double kFlatBall_ratio = 0.9;    // around it, for whether the surface turns at all
// Middle eigenvalue of the normals' second moment: 0.067 at the edge of a strip of tube, 0.2
// within.
constexpr double kFlatNormals_ratio = 0.025;
constexpr double kCrowdBall_ratio = 0.8;    // places that count as near a spine point
constexpr double kStep_ratio = 0.5;         // between spine points
constexpr double kLongestHole_ratio = 8.0;  // stepped over while following
constexpr double kFarthestJoin_ratio = 60.0;
constexpr double kShortestRun_ratio = 3.0;
// A run's crowd is one-sided over its last stretch, which bends it: so much is left off.
constexpr double kLooseEnd_ratio = 0.9;
// Places this near to a run are its own.
constexpr double kClaim_ratio = 1.0;
// Share of the best crowds that a run must start from.
constexpr double kTrueSide_ratio = 0.3;
constexpr std::size_t kFewestNear = 8;
constexpr std::size_t kMostNear = 96;
constexpr std::size_t kMostSteps = 20000;

// Where the middle of the tube would be, seen from one patch.
struct Places {
  Points at_mm;    // two for each patch, one to either side
  Points normals;  // of the patch
};

// Every k-th of too many neighbours: the tree's order runs through space, so these stay spread out.
void limit(std::vector<std::size_t>& near) {
  if (near.size() <= kMostNear) return;
  const std::size_t stride = (near.size() + kMostNear - 1) / kMostNear;
  std::size_t kept = 0;
  for (std::size_t k = 0; k < near.size(); k += stride) near[kept++] = near[k];
  near.resize(kept);
}

// Whether the normals around a patch hardly turn: a plate, not a tube.
bool is_flat(const Points& normals, const std::vector<std::size_t>& near) {
  Eigen::Matrix3d square = Eigen::Matrix3d::Zero();
  for (const std::size_t k : near) square += normals[k] * normals[k].transpose();
  return symmetric_values_direct(square / static_cast<double>(near.size()))[1] < kFlatNormals_ratio;
}

Places places_of(const Surface& surface, double radius_mm) {
  // Balls grow with the radius, and what lies in them with its square: no more points than show it.
  const Points skin_mm = surface.spacing_mm < kFinest_ratio * radius_mm
                             ? thinned_to(surface.points_mm, kFinest_ratio * radius_mm)
                             : surface.points_mm;
  Points means_mm;
  Points normals;
  std::vector<double> depths_mm;
  std::vector<std::size_t> near;
  const PointTree tree(skin_mm);
  for (const Vec3& p : skin_mm) {
    tree.within(p, kPatchBall_ratio * radius_mm, near);
    if (near.size() < kFewestNear) tree.nearest(p, kFewestNear, near);
    limit(near);
    const LocalPlane patch = local_plane(skin_mm, near);
    // The mean of a patch of variance v across the curve lies v / 2r inside the surface.
    const double across_mm2 = 0.5 * (patch.variance_mm2[1] + patch.variance_mm2[2]);
    means_mm.push_back(patch.mean_mm);
    normals.push_back(patch.normal);
    depths_mm.push_back(radius_mm - across_mm2 / (2.0 * radius_mm));
  }
  Places places;
  for (std::size_t i = 0; i < means_mm.size(); ++i) {
    tree.within(skin_mm[i], kFlatBall_ratio * radius_mm, near);
    limit(near);
    if (near.size() >= kFewestNear && is_flat(normals, near)) continue;
    for (const double side : {-1.0, 1.0}) {
      places.at_mm.push_back(means_mm[i] + normals[i] * (side * depths_mm[i]));
      places.normals.push_back(normals[i]);
    }
  }
  return places;
}

struct Station {
  Vec3 p_mm = Vec3::Zero();
  Vec3 ahead = Vec3::UnitX();
  double weight = 0.0;  // crowd, each place counted by nearness
};

class Follower {
 public:
  Follower(const Places& places, const PointTree& tree, double radius_mm)
      : places_(places), tree_(tree), radius_mm_(radius_mm) {}

  // Settles on the ridge of the crowd near the guess. With `ahead` given the crowd is that of
  // patches whose normals are square to it, and the guess moves only across it.
  std::optional<Station> settle(Vec3 p_mm, const std::optional<Vec3>& ahead) const {
    Station station;
    std::optional<Vec3> along = ahead;
    for (int i = 0; i < 3; ++i) {
      tree_.within(p_mm, kCrowdBall_ratio * radius_mm_, near_);
      double sum = 0.0;
      Vec3 mean = Vec3::Zero();
      Eigen::Matrix3d square = Eigen::Matrix3d::Zero();
      for (const std::size_t k : near_) {
        if (along && std::abs(along->dot(places_.normals[k])) > 0.4) continue;
        const Vec3 d = places_.at_mm[k] - p_mm;
        const double x = d.squaredNorm() / std::pow(kCrowdBall_ratio * radius_mm_, 2);
        const double w = (1.0 - x) * (1.0 - x);
        sum += w;
        mean += w * d;
        square += w * d * d.transpose();
      }
      if (sum < 3.0) return std::nullopt;
      mean /= sum;
      const Axes3 eigen = symmetric_axes(square / sum - mean * mean.transpose());
      const Vec3 spread_mm2 = eigen.values.cwiseMax(0.0);
      Vec3 direction = eigen.vectors.col(2);
      // A crowd that is no longer than wide is no spine.
      if (spread_mm2[2] < 1.5 * spread_mm2[1]) return std::nullopt;
      if (along && along->dot(direction) < 0.0) direction = -direction;
      p_mm += along ? Vec3(mean - direction * mean.dot(direction)) : mean;
      along = direction;
      station = {p_mm, direction, sum};
    }
    return station;
  }

  // Steps from the station until the tube ends. `usual` is the crowd of a station on this tube.
  std::vector<Station> follow(const Station& from, double usual) const {
    std::vector<Station> path{from};
    while (path.size() < kMostSteps) {
      std::optional<Station> next = stepped(path, kStep_ratio * radius_mm_, usual, 0.2);
      for (double hole = 1.0; !next && hole <= kLongestHole_ratio; hole += 0.5) {
        next = stepped(path, hole * radius_mm_, usual, 0.5);
      }
      if (!next || closes_loop(path, *next)) break;
      path.push_back(*next);
    }
    return path;
  }

 private:
  std::optional<Station> stepped(const std::vector<Station>& path, double step_mm, double usual,
                                 double least_share) const {
    const Station& last = path.back();
    // The bend of the last few stations, carried on; over a hole also the straight.
    Vec3 turn_per_mm = Vec3::Zero();
    if (path.size() > 4) {
      const Station& back = path[path.size() - 5];
      const double run_mm = std::max((last.p_mm - back.p_mm).norm(), 0.1 * radius_mm_);
      turn_per_mm = (last.ahead - back.ahead) / run_mm;
    }
    for (const double bend : {1.0, 0.0}) {
      const Vec3 p_mm =
          last.p_mm + last.ahead * step_mm + 0.5 * bend * step_mm * step_mm * turn_per_mm;
      const Vec3 ahead = (last.ahead + bend * step_mm * turn_per_mm).normalized();
      const std::optional<Station> next = settle(p_mm, ahead);
      if (!next || next->weight < least_share * usual) continue;
      const double strayed_mm = (next->p_mm - p_mm).norm();
      // On a bend of one diameter a step turns 14°; more than 30° off the forecast is another
      // thing.
      if (next->ahead.dot(ahead) < 0.85 || strayed_mm > 0.35 * radius_mm_ + 0.05 * step_mm ||
          (next->p_mm - last.p_mm).dot(last.ahead) < 0.2 * step_mm) {
        continue;
      }
      return next;
    }
    return std::nullopt;
  }

  bool closes_loop(const std::vector<Station>& path, const Station& next) const {
    const std::size_t recent = 8;
    for (std::size_t i = 0; i + recent < path.size(); ++i) {
      if ((path[i].p_mm - next.p_mm).norm() < 0.5 * radius_mm_) return true;
    }
    return false;
  }

  const Places& places_;
  const PointTree& tree_;
  double radius_mm_;
  mutable std::vector<std::size_t> near_;
};

using Run = std::vector<Station>;

double length_of(const Run& run) {
  double length_mm = 0.0;
  for (std::size_t i = 1; i < run.size(); ++i) length_mm += (run[i].p_mm - run[i - 1].p_mm).norm();
  return length_mm;
}

Run reversed(Run run) {
  std::reverse(run.begin(), run.end());
  for (Station& station : run) station.ahead = -station.ahead;
  return run;
}

// The run without its loose ends.
Run trimmed(Run run, double radius_mm) {
  for (int end = 0; end < 2; ++end) {
    const Vec3 tip_mm = run.back().p_mm;
    while (run.size() > 4 && (run.back().p_mm - tip_mm).norm() < kLooseEnd_ratio * radius_mm) {
      run.pop_back();
    }
    run = reversed(std::move(run));
  }
  return run;
}

// All tube-like runs, longest first.
std::vector<Run> runs_of(const Places& places, const PointTree& tree, double radius_mm,
                         Shuffler& shuffler) {
  const Follower follower(places, tree, radius_mm);
  std::vector<Station> seeds;
  for (int i = 0; i < 400; ++i) {
    const Vec3& guess_mm = places.at_mm[shuffler.index(places.at_mm.size())];
    if (const auto station = follower.settle(guess_mm, std::nullopt)) seeds.push_back(*station);
  }
  if (seeds.empty()) return {};
  std::sort(seeds.begin(), seeds.end(),
            [](const Station& a, const Station& b) { return a.weight > b.weight; });
  // The false sides of the patches crowd a little too, twice as far out and half as dense or less.
  const double least = kTrueSide_ratio * seeds[seeds.size() / 10].weight;
  while (seeds.back().weight < least) seeds.pop_back();
  std::vector<Run> runs;
  std::vector<bool> claimed(places.at_mm.size() / 2, false);
  std::vector<std::size_t> near;
  for (const Station& seed : seeds) {
    // Every patch belongs to one run: the false side of a patch starts no second one.
    tree.within(seed.p_mm, kCrowdBall_ratio * radius_mm, near);
    const auto num_claimed =
        std::count_if(near.begin(), near.end(), [&](std::size_t k) { return claimed[k / 2]; });
    if (2 * static_cast<std::size_t>(num_claimed) > near.size() || runs.size() >= 40) continue;
    // Denser crowds than the middle of the seeds' are bends seen from inside; take it as usual.
    const double usual = std::min(seed.weight, 2.0 * seeds[seeds.size() / 2].weight);
    Run run = reversed(follower.follow(seed, usual));
    const Run onward = follower.follow(run.back(), usual);
    run.insert(run.end(), onward.begin() + 1, onward.end());
    for (const Station& station : run) {
      tree.within(station.p_mm, kClaim_ratio * radius_mm, near);
      for (const std::size_t k : near) claimed[k / 2] = true;
    }
    if (length_of(run) >= kShortestRun_ratio * radius_mm)
      runs.push_back(trimmed(std::move(run), radius_mm));
  }
  std::sort(runs.begin(), runs.end(),
            [](const Run& a, const Run& b) { return length_of(a) > length_of(b); });
  return runs;
}

// How well one end continues in another: the distance, longer for ends that do not face each
// other; infinite for ends that cannot belong together.
double joint_mm(const Station& end, const Station& start, double radius_mm) {
  const Vec3 d = start.p_mm - end.p_mm;
  const double distance_mm = d.norm();
  const double none = std::numeric_limits<double>::infinity();
  if (distance_mm > kFarthestJoin_ratio * radius_mm || distance_mm == 0.0) return none;
  const double leaves = end.ahead.dot(d) / distance_mm;
  const double arrives = start.ahead.dot(d) / distance_mm;
  if (leaves < 0.3 || arrives < 0.3) return none;
  return distance_mm * (3.0 - leaves - arrives);
}

// Joins the other runs to the longest where ends face each other; nearest joints first.
std::vector<Run> chained(std::vector<Run> runs, double radius_mm, std::size_t& num_others) {
  std::vector<Run> chain{std::move(runs.front())};
  runs.erase(runs.begin());
  while (!runs.empty()) {
    double best_mm = std::numeric_limits<double>::infinity();
    std::size_t which = 0;
    bool at_front = false;
    bool turned = false;
    for (std::size_t i = 0; i < runs.size(); ++i) {
      for (const bool turn : {false, true}) {
        const Run candidate = turn ? reversed(runs[i]) : runs[i];
        const double after_mm = joint_mm(chain.back().back(), candidate.front(), radius_mm);
        const double before_mm = joint_mm(candidate.back(), chain.front().front(), radius_mm);
        for (const bool front : {false, true}) {
          const double this_mm = front ? before_mm : after_mm;
          if (this_mm >= best_mm) continue;
          best_mm = this_mm;
          which = i;
          at_front = front;
          turned = turn;
        }
      }
    }
    if (!std::isfinite(best_mm)) break;
    Run next = turned ? reversed(runs[which]) : runs[which];
    runs.erase(runs.begin() + static_cast<std::ptrdiff_t>(which));
    chain.insert(at_front ? chain.begin() : chain.end(), std::move(next));
  }
  num_others = runs.size();
  return chain;
}

// Noise of one point across the line from third differences, which straights and arcs do not show.
double noise_of(const Points& points_mm) {
  std::vector<double> sizes_mm;
  for (std::size_t i = 3; i < points_mm.size(); ++i) {
    const Vec3 third =
        points_mm[i] - 3.0 * points_mm[i - 1] + 3.0 * points_mm[i - 2] - points_mm[i - 3];
    const Vec3 along = (points_mm[i] - points_mm[i - 3]).normalized();
    sizes_mm.push_back((third - along * third.dot(along)).norm());
  }
  if (sizes_mm.empty()) return 0.0;
  const auto middle = sizes_mm.begin() + static_cast<std::ptrdiff_t>(sizes_mm.size() / 2);
  std::nth_element(sizes_mm.begin(), middle, sizes_mm.end());
  // Variance of a third difference is 1 + 9 + 9 + 1; the median of a plane normal's length is
  // sqrt(2 ln 2) sigma.
  return *middle / std::sqrt(20.0 * 2.0 * std::log(2.0));
}

}  // namespace

double Spine::length_mm() const {
  double sum_mm = 0.0;
  for (std::size_t i = 1; i < points_mm.size(); ++i) {
    sum_mm += (points_mm[i] - points_mm[i - 1]).norm();
  }
  return sum_mm;
}

SpineSearch find_spine(const Surface& surface, double radius_mm, Shuffler& shuffler) {
  SpineSearch search;
  const Places places = places_of(surface, radius_mm);
  if (places.at_mm.empty()) return search;
  const PointTree tree(places.at_mm);
  std::vector<Run> runs = runs_of(places, tree, radius_mm, shuffler);
  if (runs.empty()) return search;
  const std::vector<Run> chain = chained(std::move(runs), radius_mm, search.num_other_runs);
  for (const Run& run : chain) {
    if (!search.pieces.empty()) {
      search.holes_mm.push_back((run.front().p_mm - search.pieces.back().points_mm.back()).norm());
    }
    Spine spine;
    for (const Station& station : run) {
      if (!spine.points_mm.empty()) {
        const double step_mm = (station.p_mm - spine.points_mm.back()).norm();
        if (step_mm > 2.0 * radius_mm) search.holes_mm.push_back(step_mm);
      }
      spine.points_mm.push_back(station.p_mm);
    }
    spine.noise_mm = noise_of(spine.points_mm);
    search.seen_length_mm += spine.length_mm();
    search.pieces.push_back(std::move(spine));
  }
  return search;
}

std::vector<double> distances_to_spine_mm(const Surface& surface, const SpineSearch& search,
                                          double radius_mm) {
  Points nodes_mm;
  std::vector<bool> first;
  for (const Spine& piece : search.pieces) {
    for (const Vec3& p : piece.points_mm) {
      first.push_back(&p == &piece.points_mm.front());
      nodes_mm.push_back(p);
    }
  }
  const PointTree tree(nodes_mm);
  std::vector<double> out;
  std::vector<std::size_t> near;
  const auto to_chord = [&](const Vec3& p, std::size_t end) {
    const Vec3& a = nodes_mm[end - 1];
    const Vec3 chord = nodes_mm[end] - a;
    const double t = std::clamp((p - a).dot(chord) / chord.squaredNorm(), 0.0, 1.0);
    return (p - a - chord * t).norm();
  };
  for (const Vec3& p : surface.points_mm) {
    double least = std::numeric_limits<double>::infinity();
    tree.nearest(p, 1, near);
    if (!near.empty() && (nodes_mm[near[0]] - p).norm() < 3.0 * radius_mm) {
      const std::size_t i = near[0];
      if (!first[i]) least = std::min(least, to_chord(p, i));
      if (i + 1 < nodes_mm.size() && !first[i + 1]) least = std::min(least, to_chord(p, i + 1));
    }
    out.push_back(least);
  }
  return out;
}

}  // namespace bight::geometry

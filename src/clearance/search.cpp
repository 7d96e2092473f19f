#include "clearance/search.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "base/check.h"
#include "clearance/time_span.h"

namespace bight::clearance {

using geometry::Vec3;

namespace {

// What double arithmetic may lose in one bound: lengths up to 1e5 mm with 1e-16 relative error,
// a few hundred operations.
constexpr double kRounding_mm = 1e-9;
constexpr int kMostTouches = 12;
// Beyond this the search gives up narrowing: low stays certified, only further below high.
constexpr std::size_t kMostSpans = 1'000'000;
// A bound that is this near to what was seen, counted in tolerances, is narrow enough when the
// contest leaves more open by itself.
constexpr double kLeftOpen_ratio = 0.25;
// A mesh's inner box says nothing of where the triangles are: it gives no upper bound.
constexpr int kNoMesh = -1;
constexpr std::size_t kIsPair = std::size_t{1} << 62;

struct Node {
  double low_mm = 0.0;
  TimeSpan span;
  Rope rope;
  int other = -1;      // into the pool of ropes that stand still
  int mesh = kNoMesh;  // node of the obstacle's tree
  int obstacle = -1;   // into the contest's obstacles
  std::uint32_t contest = 0;
  bool first_look = true;
  double touched_ratio = 0.5;  // where on the rope the nearest place was
  double loose_mm = 0.0;       // what keeps the bound below the touched distance, sagitta apart
  double end_loose_mm = 0.0;   // how much of it an end far from the nearest place is to blame for
  double motion_mm = 0.0;      // what the span's length costs
};

// A stretch and an obstacle, or another stretch, over its whole span of time: not looked at yet.
struct Pair {
  std::uint32_t contest = 0;
  std::uint32_t rope = 0;
  int obstacle = -1;
  int other = -1;
};

// Turning between two stretches, from the die outward on both sides. Whether any two places, and
// whether all places, have at least a half turn between them.
constexpr double kHalfTurn_rad = std::numbers::pi - 1e-9;

bool some_far_apart(const Contest& contest, const Rope& a, const Rope& b) {
  return contest.between_rad + std::max(a.turned_a_rad, a.turned_b_rad) +
             std::max(b.turned_a_rad, b.turned_b_rad) >=
         kHalfTurn_rad;
}

}  // namespace

struct Search::Impl {
  SearchOptions options;
  const std::vector<Contest>* contests = nullptr;
  std::vector<Node> nodes;
  std::vector<Rope> others;
  std::vector<Pair> pairs;
  std::vector<TimeSpan> whole;             // of each contest
  std::vector<Eigen::AlignedBox3d> swept;  // of the contest being added
  // Lower bound, and what it is of: a node, or with kIsPair added a pair.
  std::vector<std::pair<double, std::size_t>> heap;
  double high_mm = 0.0;
  double put_aside_mm = 0.0;  // least lower bound among all that was not looked at further
  std::optional<Found> found;
  SearchCount count;

  const Contest& contest(const Node& node) const { return (*contests)[node.contest]; }
  // What is certainly this far off needs no further look.
  double cutoff_mm() const {
    const double near_enough_mm = high_mm - options.tolerance_mm;
    return options.only_whether_within_mm.has_value()
               ? std::min(near_enough_mm, *options.only_whether_within_mm)
               : near_enough_mm;
  }
  bool decided() const { return options.only_whether_within_mm.has_value() && high_mm <= 0.0; }

  void add_pairs(std::size_t index);
  Eigen::AlignedBox3d sweep(const Contest& c, const TimeSpan& span);
  bool put_aside(double low_mm);
  void add_pair(double low_mm, const Pair& pair);
  void look_at_pair(const Pair& pair);
  void split(Node node);
  void look(Node& node);
  void look_at_half_space(Node& node, const HalfSpace& solid);
  template <typename Convex>
  void look_at_convex(Node& node, const Convex& solid, const Vec3& middle_mm, bool real);
  void look_at_rope(Node& node);
  void keep(const Node& node, double at_mm, double share_ratio, const Vec3& p_mm, const Vec3& away);
  void push(const Node& node);
};

Search::Search() : impl_(std::make_unique<Impl>()) {}
Search::~Search() = default;
Search::Search(Search&&) noexcept = default;
Search& Search::operator=(Search&&) noexcept = default;
const SearchCount& Search::count() const { return impl_->count; }

namespace {

// At most their distance: the widest gap along an axis.
double gap_mm(const Eigen::AlignedBox3d& a, const Eigen::AlignedBox3d& b) {
  return (a.min() - b.max()).cwiseMax(b.min() - a.max()).maxCoeff();
}

Vec3 middle_of(const Solid& solid) {
  if (const auto* box = std::get_if<Box>(&solid)) return box->centre_mm;
  if (const auto* cylinder = std::get_if<Cylinder>(&solid)) return cylinder->centre_mm;
  if (const auto* prism = std::get_if<Prism>(&solid)) return prism->centre_mm;
  return Vec3::Zero();
}

}  // namespace

std::optional<Found> Search::run(const std::vector<Contest>& contests,
                                 const SearchOptions& options) {
  Impl& s = *impl_;
  s.options = options;
  s.contests = &contests;
  s.nodes.clear();
  s.others.clear();
  s.pairs.clear();
  s.whole.resize(contests.size());
  s.heap.clear();
  s.high_mm = options.interest_mm;
  s.put_aside_mm = std::numeric_limits<double>::infinity();
  s.found.reset();
  s.count = {};
  for (std::size_t i = 0; i < contests.size(); ++i) s.add_pairs(i);
  std::make_heap(s.heap.begin(), s.heap.end(), std::greater<>());
  while (!s.heap.empty() && !s.decided() && s.count.spans < kMostSpans) {
    if (s.heap.front().first >= s.cutoff_mm()) break;
    std::pop_heap(s.heap.begin(), s.heap.end(), std::greater<>());
    const std::size_t index = s.heap.back().second;
    s.heap.pop_back();
    if (index >= kIsPair) {
      s.look_at_pair(s.pairs[index - kIsPair]);
    } else {
      s.split(s.nodes[index]);
    }
  }
  if (!s.heap.empty()) s.put_aside_mm = std::min(s.put_aside_mm, s.heap.front().first);
  if (!s.found.has_value()) return std::nullopt;
  s.found->high_mm = s.high_mm;
  s.found->low_mm = std::min(s.put_aside_mm, s.high_mm);
  return s.found;
}

// Each stretch's swept box against each obstacle's box: cheap, and leaves few to be looked at.
void Search::Impl::add_pairs(std::size_t index) {
  const Contest& c = (*contests)[index];
  if (c.ropes == nullptr || c.ropes->size() <= c.skip_first + c.skip_last) return;
  Pair pair;
  pair.contest = static_cast<std::uint32_t>(index);
  whole[index] = time_span(c.motion, 0.0, 1.0);
  const Eigen::AlignedBox3d all = sweep(c, whole[index]);
  for (std::size_t k = 0; c.obstacles != nullptr && k < c.obstacles->size(); ++k) {
    const Eigen::AlignedBox3d& bounds = (*c.obstacles)[k].bounds_mm;
    const double apart_mm = gap_mm(all, bounds) - options.tube_radius_mm;
    if (put_aside(apart_mm)) continue;
    pair.obstacle = static_cast<int>(k);
    for (std::size_t i = 0; i < swept.size(); ++i) {
      pair.rope = static_cast<std::uint32_t>(c.skip_first + i);
      add_pair(gap_mm(swept[i], bounds) - options.tube_radius_mm, pair);
    }
  }
  for (std::size_t k = 0; c.others != nullptr && k < c.others->size(); ++k) {
    const Rope& other = (*c.others)[k];
    Eigen::AlignedBox3d bounds;
    bounds.extend(other.near_mm()).extend(other.far_mm());
    const double thick_mm = 2.0 * options.tube_radius_mm + other.spread_mm();
    pair.other = static_cast<int>(k);
    for (std::size_t i = 0; i < swept.size(); ++i) {
      pair.rope = static_cast<std::uint32_t>(c.skip_first + i);
      if (!some_far_apart(c, (*c.ropes)[pair.rope], other)) continue;
      add_pair(gap_mm(swept[i], bounds) - thick_mm, pair);
    }
  }
}

// The box that each stretch of the contest sweeps over, thickness left out; returns that of all.
Eigen::AlignedBox3d Search::Impl::sweep(const Contest& c, const TimeSpan& span) {
  swept.clear();
  Eigen::AlignedBox3d all;
  Vec3 last_mm = Vec3::Constant(std::numeric_limits<double>::quiet_NaN());
  Eigen::AlignedBox3d at_last;
  const auto reached = [&](const Vec3& q_mm) {
    return reached_mm(c.motion, span, carried(c.motion, span, q_mm));
  };
  for (std::size_t i = c.skip_first; i < c.ropes->size() - c.skip_last; ++i) {
    const Rope& rope = (*c.ropes)[i];
    // Neighbours share an end: the chord and the whole sagitta, not the line midway.
    const Eigen::AlignedBox3d at_a = rope.a_mm == last_mm ? at_last : reached(rope.a_mm);
    at_last = reached(rope.b_mm);
    last_mm = rope.b_mm;
    Eigen::AlignedBox3d box = at_a.merged(at_last);
    box.min().array() -= rope.sag_mm + c.spread_mm;
    box.max().array() += rope.sag_mm + c.spread_mm;
    swept.push_back(box);
    all.extend(box);
  }
  return all;
}

// Whether it is far enough off to need no look.
bool Search::Impl::put_aside(double low_mm) {
  if (low_mm < cutoff_mm()) return false;
  put_aside_mm = std::min(put_aside_mm, low_mm);
  return true;
}

void Search::Impl::add_pair(double low_mm, const Pair& pair) {
  if (put_aside(low_mm)) return;
  ++count.pairs;
  heap.emplace_back(low_mm, kIsPair + pairs.size());
  pairs.push_back(pair);
}

void Search::Impl::look_at_pair(const Pair& pair) {
  const Contest& c = (*contests)[pair.contest];
  Node node;
  node.contest = pair.contest;
  node.rope = (*c.ropes)[pair.rope];
  const bool always = node.rope.from_ratio == 0.0 && node.rope.to_ratio == 1.0;
  node.span =
      always ? whole[pair.contest] : time_span(c.motion, node.rope.from_ratio, node.rope.to_ratio);
  if (pair.other >= 0) {
    node.other = static_cast<int>(others.size());
    others.push_back((*c.others)[static_cast<std::size_t>(pair.other)]);
  } else {
    node.obstacle = pair.obstacle;
    const Solid& solid = (*c.obstacles)[static_cast<std::size_t>(pair.obstacle)].solid;
    if (std::holds_alternative<std::shared_ptr<const MeshTree>>(solid)) node.mesh = 0;
  }
  look(node);
}

// Halves whatever keeps the bound loose: the mesh's box, an arc's sagitta, or the span of time.
void Search::Impl::split(Node node) {
  const Contest& c = contest(node);
  if (node.mesh != kNoMesh) {
    const auto& tree = *std::get<std::shared_ptr<const MeshTree>>(
        (*c.obstacles)[static_cast<std::size_t>(node.obstacle)].solid);
    const MeshTree::Node& at = tree.nodes()[static_cast<std::size_t>(node.mesh)];
    if (at.count == 0 && at.box.half_mm.norm() > 0.5 * node.loose_mm) {
      for (const std::uint32_t child : {at.first, at.first + 1}) {
        node.mesh = static_cast<int>(child);
        look(node);
      }
      return;
    }
  }
  const double other_spread_mm =
      node.other >= 0 ? others[static_cast<std::size_t>(node.other)].spread_mm() : 0.0;
  const double spread_mm = node.rope.spread_mm();
  // What the contest itself leaves open cannot be halved: the bound stays as low as it is.
  const double left_mm = node.loose_mm + 2.0 * (spread_mm + other_spread_mm);
  if (c.spread_mm > 0.0 && left_mm <= kLeftOpen_ratio * options.tolerance_mm) {
    put_aside_mm = std::min(put_aside_mm, node.low_mm);
    return;
  }
  if (other_spread_mm > spread_mm && 2.0 * other_spread_mm > node.loose_mm) {
    const std::array<Rope, 2> parts = others[static_cast<std::size_t>(node.other)].halves();
    for (const Rope& part : parts) {
      if (!some_far_apart(c, node.rope, part)) continue;
      node.other = static_cast<int>(others.size());
      others.push_back(part);
      look(node);
    }
    return;
  }
  const bool sagging = spread_mm > 0.0 && 2.0 * spread_mm > node.loose_mm;
  // A far end that could come down costs more than the place that is near: part it off.
  const bool end_heavy = node.end_loose_mm > 0.5 * node.loose_mm;
  if (sagging || end_heavy) {
    const std::array<Rope, 2> parts = node.rope.halves();
    const double touched = node.touched_ratio;
    for (int i = 0; i < 2; ++i) {
      node.rope = parts[static_cast<std::size_t>(i)];
      if (node.other >= 0 &&
          !some_far_apart(c, node.rope, others[static_cast<std::size_t>(node.other)])) {
        continue;
      }
      node.touched_ratio = std::clamp(2.0 * touched - i, 0.0, 1.0);
      look(node);
    }
    return;
  }
  for (const TimeSpan& half : halves(c.motion, node.span)) {
    node.span = half;
    look(node);
  }
}

void Search::Impl::push(const Node& node) {
  if (put_aside(node.low_mm)) return;
  heap.emplace_back(node.low_mm, nodes.size());
  std::push_heap(heap.begin(), heap.end(), std::greater<>());
  nodes.push_back(node);
}

// A place that the tube is certainly at: its distance bounds the answer from above.
void Search::Impl::keep(const Node& node, double at_mm, double share_ratio, const Vec3& p_mm,
                        const Vec3& away) {
  if (at_mm >= high_mm) return;
  high_mm = at_mm;
  const Contest& c = contest(node);
  Found f;
  f.tag = c.tag;
  f.share_ratio = node.span.mid_ratio;
  f.obstacle =
      node.obstacle >= 0 ? &(*c.obstacles)[static_cast<std::size_t>(node.obstacle)] : nullptr;
  f.along_mm = node.rope.along_a_mm + (node.rope.along_b_mm - node.rope.along_a_mm) * share_ratio;
  f.on_tube_mm = p_mm;
  f.away = away;
  if (node.other >= 0) {
    const Rope& other = others[static_cast<std::size_t>(node.other)];
    const double share = nearest_share_ratio(other.near_mm(), other.far_mm(), Line{p_mm, p_mm});
    f.other_along_mm = other.along_a_mm + (other.along_b_mm - other.along_a_mm) * share;
  }
  found = f;
}

namespace {

// f(x) >= value + n · (x - p) for all x, with its values at both ends of a line.
struct Plane {
  double share_ratio = 0.0;  // of p along the line
  double value_mm = 0.0;
  double slope_mm = 0.0;  // over the whole line
  Vec3 n = Vec3::Zero();

  double at_mm(double share) const { return value_mm + slope_mm * (share - share_ratio); }
};

// Where two planes of opposite slope meet: a plane level along the line, and a lower bound of f
// there as each of them is.
Plane level(const Plane& falling, const Plane& rising) {
  const double weight = rising.slope_mm / (rising.slope_mm - falling.slope_mm);
  Plane out;
  out.n = falling.n * weight + rising.n * (1.0 - weight);
  out.share_ratio = std::clamp(
      (falling.at_mm(0.0) - rising.at_mm(0.0)) / (rising.slope_mm - falling.slope_mm), 0.0, 1.0);
  out.value_mm = falling.at_mm(out.share_ratio);
  return out;
}

// A line in the middle of a span.
struct Poised {
  Carried a, b;
  Vec3 along_mm;

  Poised(const Contest& contest, const Node& node)
      : a(carried(contest.motion, node.span, node.rope.near_mm())),
        b(carried(contest.motion, node.span, node.rope.far_mm())),
        along_mm(b.p_mm - a.p_mm) {}
  Vec3 p_mm(double share) const { return a.p_mm + along_mm * share; }
  Vec3 arm_mm(double share) const { return a.arm_mm + (b.arm_mm - a.arm_mm) * share; }
};

// The plane's say over the whole span; improves the node's bound.
void bound_by(Node& node, const Contest& contest, const Poised& line, const Plane& plane,
              double touched_mm, double touched_ratio, double thick_mm) {
  const DropBound bound(contest.motion, node.span, plane.n);
  const double drop_a_mm = bound.drop_mm(line.a.arm_mm);
  const double drop_b_mm = bound.drop_mm(line.b.arm_mm);
  const double low_mm = std::min(plane.at_mm(0.0) + drop_a_mm, plane.at_mm(1.0) + drop_b_mm);
  const double certain_mm = low_mm - thick_mm - kRounding_mm;
  if (certain_mm <= node.low_mm) return;
  node.low_mm = certain_mm;
  node.touched_ratio = touched_ratio;
  node.motion_mm = -std::min(drop_a_mm, drop_b_mm);
  node.loose_mm = touched_mm - low_mm;
  node.end_loose_mm = touched_mm + bound.drop_mm(line.arm_mm(touched_ratio)) - low_mm;
}

}  // namespace

void Search::Impl::look_at_half_space(Node& node, const HalfSpace& solid) {
  const Contest& c = contest(node);
  const Poised line(c, node);
  const DropBound bound(c.motion, node.span, solid.away);
  const double radius_mm = options.tube_radius_mm;
  const double spread_mm = node.rope.spread_mm() + c.spread_mm;
  // The rim of a flat end reaches r sin(angle between plane's normal and tube) down.
  const double lean = solid.away.dot(line.along_mm.normalized());
  // Turning about an axis changes n · u by at most |k x n| per radian: about the plane's own normal
  // not at all.
  const double turn =
      std::abs(c.motion.turn.rad()) * node.span.half_ratio * c.motion.nhat.cross(solid.away).norm();
  const double least_lean = std::max(0.0, std::abs(lean) - turn);
  double low_mm = std::numeric_limits<double>::infinity();
  double now_mm = low_mm;  // of the line as it is in the middle of the span
  for (const bool at_b : {false, true}) {
    const Carried& end = at_b ? line.b : line.a;
    const bool flat = at_b ? node.rope.flat_b : node.rope.flat_a;
    const bool known = flat && line.along_mm.squaredNorm() > 0.0;
    const auto reach_mm = [&](double x) {
      return known ? radius_mm * std::sqrt(std::max(0.0, 1.0 - x * x)) : radius_mm;
    };
    const Touch touch = solid.touch(end.p_mm);
    ++count.touches;
    keep(node, touch.distance_mm - reach_mm(lean) + spread_mm, at_b ? 1.0 : 0.0, end.p_mm,
         touch.away);
    now_mm = std::min(now_mm, touch.distance_mm - reach_mm(lean));
    low_mm = std::min(low_mm, touch.distance_mm - reach_mm(least_lean) + bound.drop_mm(end.arm_mm) -
                                  spread_mm - kRounding_mm);
  }
  node.low_mm = low_mm;
  // That the line is tilted keeps nothing loose: the lower end is known. What does is the arc's
  // sagitta and the length of the span.
  node.loose_mm = now_mm - low_mm - c.spread_mm;
  node.end_loose_mm = 0.0;
  push(node);
}

// Minimises the convex distance along the line by tangents, only as finely as the span deserves.
template <typename Convex>
void Search::Impl::look_at_convex(Node& node, const Convex& solid, const Vec3& middle_mm,
                                  bool real) {
  const Contest& c = contest(node);
  const Poised line(c, node);
  const double spread_mm = node.rope.spread_mm() + c.spread_mm;
  const double thick_mm = options.tube_radius_mm + spread_mm;
  double best_mm = std::numeric_limits<double>::infinity();
  double best_share = 0.0;
  const auto touch_at = [&](double share) {
    const Vec3 p_mm = line.p_mm(share);
    const Touch touch = solid.touch(p_mm);
    ++count.touches;
    if (touch.distance_mm < best_mm) {
      best_mm = touch.distance_mm;
      best_share = share;
    }
    if (real) {
      keep(node, touch.distance_mm - options.tube_radius_mm + spread_mm, share, p_mm, touch.away);
    }
    return Plane{share, touch.distance_mm, touch.away.dot(line.along_mm), touch.away};
  };
  const double square_mm2 = line.along_mm.squaredNorm();
  const double start =
      node.first_look && square_mm2 > 0.0
          ? std::clamp(line.along_mm.dot(middle_mm - line.a.p_mm) / square_mm2, 0.0, 1.0)
          : node.touched_ratio;
  node.first_look = false;
  Plane now = touch_at(start);
  bound_by(node, c, line, now, best_mm, start, thick_mm);
  std::optional<Plane> falling;
  std::optional<Plane> rising;
  for (int i = 1; i < kMostTouches && node.low_mm < cutoff_mm() && now.slope_mm != 0.0; ++i) {
    (now.slope_mm < 0.0 ? falling : rising) = now;
    const double enough_mm = std::max(0.05 * options.tolerance_mm, 0.2 * node.motion_mm);
    double next = 0.0;
    if (falling.has_value() && rising.has_value()) {
      const Plane meet = level(*falling, *rising);
      if (best_mm - meet.value_mm <= enough_mm) break;
      const double secant = falling->share_ratio + (rising->share_ratio - falling->share_ratio) *
                                                       falling->slope_mm /
                                                       (falling->slope_mm - rising->slope_mm);
      next = i % 2 == 0 ? secant : meet.share_ratio;
    } else {
      next = rising.has_value() ? 0.0 : 1.0;
      if (now.share_ratio == next || now.value_mm - now.at_mm(next) <= enough_mm) break;
    }
    now = touch_at(next);
  }
  bound_by(node, c, line, now, best_mm, best_share, thick_mm);
  if (falling.has_value() && rising.has_value()) {
    bound_by(node, c, line, level(*falling, *rising), best_mm, best_share, thick_mm);
  }
  push(node);
}

void Search::Impl::look_at_rope(Node& node) {
  const Contest& c = contest(node);
  const Poised line(c, node);
  const Rope& rope = others[static_cast<std::size_t>(node.other)];
  const Line other{rope.near_mm(), rope.far_mm()};
  const double spread_mm = node.rope.spread_mm() + rope.spread_mm() + c.spread_mm;
  const double share = nearest_share_ratio(line.a.p_mm, line.b.p_mm, other);
  const Touch touch = other.touch(line.p_mm(share));
  ++count.touches;
  const double radii_mm = 2.0 * options.tube_radius_mm;
  keep(node, touch.distance_mm - radii_mm + spread_mm, share, line.p_mm(share), touch.away);
  const Plane plane{share, touch.distance_mm, touch.away.dot(line.along_mm), touch.away};
  bound_by(node, c, line, plane, touch.distance_mm, share, radii_mm + spread_mm);
  push(node);
}

void Search::Impl::look(Node& node) {
  if (decided()) return;
  ++count.spans;
  node.low_mm = -std::numeric_limits<double>::infinity();
  if (node.other >= 0) {
    look_at_rope(node);
    return;
  }
  const Solid& solid = (*contest(node).obstacles)[static_cast<std::size_t>(node.obstacle)].solid;
  switch (solid.index()) {
    case 0:
      look_at_half_space(node, *std::get_if<HalfSpace>(&solid));
      return;
    case 1:
      look_at_convex(node, *std::get_if<Box>(&solid), middle_of(solid), true);
      return;
    case 2:
      look_at_convex(node, *std::get_if<Cylinder>(&solid), middle_of(solid), true);
      return;
    case 3:
      look_at_convex(node, *std::get_if<Prism>(&solid), middle_of(solid), true);
      return;
    default:
      break;
  }
  const MeshTree& tree = **std::get_if<std::shared_ptr<const MeshTree>>(&solid);
  const MeshTree::Node& at = tree.nodes()[static_cast<std::size_t>(node.mesh)];
  if (at.count == 0) {
    look_at_convex(node, at.box, at.box.centre_mm, false);
    return;
  }
  const Triangle& triangle = tree.triangles()[at.first];
  look_at_convex(node, triangle, (triangle.a_mm + triangle.b_mm + triangle.c_mm) / 3.0, true);
}

}  // namespace bight::clearance

#include "reader/chain.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <numeric>
#include <optional>

namespace bight::reader {

using base::Angle;

namespace {

constexpr std::size_t kNone = std::numeric_limits<std::size_t>::max();

// Ends are numbered 2 * strand + (0 or 1).
struct Joint {
  std::size_t a = 0;
  std::size_t b = 0;
  double gap_mm = 0.0;
  Angle kink;
  bool covered = false;
};

const Vec3& place(const std::vector<Strand>& strands, std::size_t end) {
  return strands[end / 2].ends_mm[end % 2];
}
const Vec3& outwards(const std::vector<Strand>& strands, std::size_t end) {
  return strands[end / 2].outwards[end % 2];
}

bool alike(const Strand& a, const Strand& b) {
  return a.convex == b.convex && std::abs(a.profile_mm - b.profile_mm) <= kSame_mm;
}

std::vector<Joint> touching(const std::vector<Strand>& strands, double tolerance_mm) {
  // Sorted by x so that only near neighbours are compared.
  std::vector<std::size_t> order(2 * strands.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return place(strands, a).x() < place(strands, b).x();
  });
  const double reach_mm = std::max(kLooseGap_mm, tolerance_mm);
  std::vector<Joint> joints;
  for (std::size_t i = 0; i < order.size(); ++i) {
    for (std::size_t k = i + 1; k < order.size(); ++k) {
      const std::size_t a = order[i];
      const std::size_t b = order[k];
      if (place(strands, b).x() - place(strands, a).x() > reach_mm) break;
      if (a / 2 == b / 2 || !alike(strands[a / 2], strands[b / 2])) continue;
      const double gap_mm = (place(strands, a) - place(strands, b)).norm();
      if (gap_mm > reach_mm) continue;
      const Angle kink = geometry::angle_between(outwards(strands, a), -outwards(strands, b));
      if (kink.deg() > kLooseKink_deg) continue;
      joints.push_back({a, b, gap_mm, kink, false});
    }
  }
  std::sort(joints.begin(), joints.end(), [](const Joint& p, const Joint& q) {
    const double p_cost = p.gap_mm / kLooseGap_mm + p.kink.deg() / kLooseKink_deg;
    const double q_cost = q.gap_mm / kLooseGap_mm + q.kink.deg() / kLooseKink_deg;
    return std::tie(p_cost, p.a, p.b) < std::tie(q_cost, q.a, q.b);
  });
  return joints;
}

// Where the straight through end a would meet the strand of end b, both hidden in between: the
// length hidden along the straight, and the arc to add to b.
struct Bridge {
  double hidden_mm = 0.0;
  Angle added;
};

std::optional<Bridge> bridge(const std::vector<Strand>& strands, std::size_t a, std::size_t b) {
  const Strand& line = strands[a / 2];
  const Strand& other = strands[b / 2];
  const Vec3& along = outwards(strands, a);
  if (!other.arc) {
    const Vec3 between = place(strands, b) - place(strands, a);
    const double hidden_mm = between.dot(along);
    const bool fits = hidden_mm > 0.0 && between.cross(along).norm() <= kSame_mm &&
                      along.cross(outwards(strands, b)).norm() * hidden_mm <= kSame_mm &&
                      along.dot(outwards(strands, b)) < 0.0;
    return fits ? std::optional<Bridge>({hidden_mm, Angle()}) : std::nullopt;
  }
  // The tangent point is the foot of the arc's centre on the line.
  const Vec3 foot = place(strands, a) + along * along.dot(other.centre_mm - place(strands, a));
  const Vec3 from_centre = foot - other.centre_mm;
  const double hidden_mm = (foot - place(strands, a)).dot(along);
  if (hidden_mm < -kSame_mm || std::abs(from_centre.norm() - other.radius_mm) > kSame_mm ||
      std::abs(along.dot(other.axis)) * other.radius_mm > kSame_mm) {
    return std::nullopt;
  }
  const Vec3 end = place(strands, b) - other.centre_mm;
  // Leaving b outwards turns right-hand about the axis at ends[1], left-hand at ends[0].
  const Vec3 axis = b % 2 == 1 ? other.axis : Vec3(-other.axis);
  const double added_rad = std::atan2(end.cross(from_centre).dot(axis), end.dot(from_centre));
  if (added_rad < -1e-6 || added_rad > 0.5 * std::numbers::pi) return std::nullopt;
  if (axis.cross(from_centre).dot(along) > 0.0) return std::nullopt;  // tangent the wrong way
  if (hidden_mm < kSame_mm && added_rad * other.radius_mm < kSame_mm) return std::nullopt;
  (void)line;
  return Bridge{std::max(0.0, hidden_mm), Angle::radians(std::max(0.0, added_rad))};
}

void lengthen_arc(Strand& arc, std::size_t which, Angle added) {
  const Angle turn = which == 1 ? added : -added;
  arc.ends_mm[which] =
      arc.centre_mm + geometry::turned(arc.ends_mm[which] - arc.centre_mm, arc.axis, turn);
  arc.outwards[which] = geometry::turned(arc.outwards[which], arc.axis, turn);
  arc.sweep = arc.sweep + added;
}

// Joins free ends of one body across what hides their joint, shortest hidden length first.
void bridge_hidden(std::vector<Strand>& strands, std::vector<std::size_t>& partner,
                   std::vector<Joint>& joints) {
  std::vector<std::size_t> free_ends;
  for (std::size_t end = 0; end < partner.size(); ++end) {
    if (partner[end] == kNone) free_ends.push_back(end);
  }
  constexpr std::size_t kFewEnough = 2000;  // a model with more loose ends is no single tube
  if (free_ends.size() > kFewEnough) return;
  struct Option {
    double cost_mm;
    std::size_t a;
    std::size_t b;
    Angle added;
  };
  std::vector<Option> options;
  for (const std::size_t a : free_ends) {
    const Strand& line = strands[a / 2];
    if (line.arc || line.profile_mm <= 0.0) continue;
    for (const std::size_t b : free_ends) {
      const Strand& other = strands[b / 2];
      if (a / 2 == b / 2 || line.body != other.body || !alike(line, other)) continue;
      const std::optional<Bridge> found = bridge(strands, a, b);
      if (!found || found->hidden_mm > 40.0 * line.profile_mm) continue;
      options.push_back(
          {found->hidden_mm + other.radius_mm * found->added.rad(), a, b, found->added});
    }
  }
  std::stable_sort(options.begin(), options.end(),
                   [](const Option& p, const Option& q) { return p.cost_mm < q.cost_mm; });
  for (const Option& option : options) {
    if (partner[option.a] != kNone || partner[option.b] != kNone) continue;
    if (option.added.rad() > 0.0) {
      lengthen_arc(strands[option.b / 2], option.b % 2, option.added);
    }
    partner[option.a] = option.b;
    partner[option.b] = option.a;
    joints.push_back({option.a, option.b, 0.0, Angle(), true});
  }
}

Chain walk(std::size_t first_end, const std::vector<Strand>& strands,
           const std::vector<std::size_t>& partner, std::vector<bool>& used) {
  Chain chain;
  std::size_t end = first_end;
  while (end != kNone && !used[end / 2]) {
    const Strand& strand = strands[end / 2];
    used[end / 2] = true;
    chain.links.push_back({end / 2, end % 2 == 1});
    chain.length_mm += strand.length_mm();
    if (strand.arc) ++chain.num_bends;
    end = partner[end ^ 1U];
  }
  chain.closed = end == first_end && partner[first_end] != kNone;
  chain.convex = strands[first_end / 2].convex;
  chain.profile_mm = strands[first_end / 2].profile_mm;
  return chain;
}

}  // namespace

std::vector<Chain> chains_of(const Scan& scan, std::vector<Strand>& strands) {
  std::vector<std::size_t> partner(2 * strands.size(), kNone);
  std::vector<Joint> joints;
  for (const Joint& joint : touching(strands, joint_tolerance_mm(scan))) {
    if (partner[joint.a] != kNone || partner[joint.b] != kNone) continue;
    partner[joint.a] = joint.b;
    partner[joint.b] = joint.a;
    joints.push_back(joint);
  }
  bridge_hidden(strands, partner, joints);
  std::vector<Chain> chains;
  std::vector<bool> used(strands.size(), false);
  std::vector<std::size_t> chain_of(strands.size(), 0);
  for (const bool free_start : {true, false}) {
    for (std::size_t end = 0; end < partner.size(); ++end) {
      if (used[end / 2] || (free_start && partner[end] != kNone)) continue;
      chains.push_back(walk(end, strands, partner, used));
      for (const Link& link : chains.back().links) chain_of[link.strand] = chains.size() - 1;
    }
  }
  for (const Joint& joint : joints) {
    Chain& chain = chains[chain_of[joint.a / 2]];
    chain.worst_gap_mm = std::max(chain.worst_gap_mm, joint.gap_mm);
    chain.worst_kink = std::max(chain.worst_kink, joint.kink);
    if (joint.covered) ++chain.num_covered;
  }
  return chains;
}

std::vector<Strand> travelled(const Chain& chain, const std::vector<Strand>& strands) {
  std::vector<Strand> run;
  for (const Link& link : chain.links) {
    Strand strand = strands[link.strand];
    if (link.reversed) {
      std::swap(strand.ends_mm[0], strand.ends_mm[1]);
      std::swap(strand.outwards[0], strand.outwards[1]);
      strand.axis = -strand.axis;
    }
    run.push_back(std::move(strand));
  }
  return run;
}

base::Result<Path> path_of(const std::vector<Strand>& run) {
  std::vector<geometry::BendRow> rows;
  std::vector<std::size_t> segments;
  geometry::Frame start;
  start.origin_mm = run.front().ends_mm[0];
  start.ahead = -run.front().outwards[0];
  start.inward = start.ahead.unitOrthogonal();
  Vec3 from = start.origin_mm;      // where the present straight began
  Vec3 heading = start.ahead;       // along it
  std::optional<Vec3> last_normal;  // of the bend before
  for (const Strand& strand : run) {
    segments.push_back(2 * rows.size() + (strand.arc ? 1 : 0));
    if (!strand.arc) {
      heading = strand.outwards[1];
      continue;
    }
    geometry::BendRow row;
    row.straight_mm = (strand.ends_mm[0] - from).dot(heading);
    // Tangent ends that meet to the last digits make no straight.
    if (std::abs(row.straight_mm) < 1e-7) row.straight_mm = 0.0;
    row.angle = strand.sweep;
    row.radius_mm = strand.radius_mm;
    if (last_normal) {
      row.rotation = Angle::radians(std::atan2(
          last_normal->cross(strand.axis).dot(-strand.outwards[0]), last_normal->dot(strand.axis)));
      if (std::abs(row.rotation.deg()) < 1e-9) row.rotation = Angle();
    } else {
      // The first bend decides which way the frame looks.
      start.ahead = (-strand.outwards[0]).normalized();
      start.inward = strand.axis.cross(start.ahead).normalized();
    }
    rows.push_back(row);
    last_normal = strand.axis;
    from = strand.ends_mm[1];
    heading = strand.outwards[1];
  }
  start.normal = start.ahead.cross(start.inward).normalized();
  start.inward = start.normal.cross(start.ahead);
  const double last_mm = (run.back().ends_mm[1] - from).dot(heading);
  auto table = geometry::BendTable::make(rows, std::abs(last_mm) < 1e-7 ? 0.0 : last_mm);
  if (!table.ok()) {
    return base::Failure{"step.table", table.failure().where, table.failure().message, ""};
  }
  return Path{*table, start, std::move(segments)};
}

}  // namespace bight::reader

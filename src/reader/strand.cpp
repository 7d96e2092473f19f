#include "reader/strand.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <optional>

#include "reader/fit.h"

namespace bight::reader {

using base::Angle;

namespace {

constexpr double kTurn_rad = 2.0 * std::numbers::pi;

struct Interval {
  double from = 0.0;
  double to = 0.0;
};

// Where a face lies on its surface, in the coordinates of the group it belongs to: along = mm
// along a cylinder's axis or rad round a torus's, round = rad about the strand.
struct Placed {
  std::size_t face = 0;
  Interval along;
  Interval round;
};

// Coordinates of a cylinder or torus that all faces of a group share.
class Coordinates {
 public:
  explicit Coordinates(const ScanFace& face)
      : torus_(face.kind == SurfaceKind::kTorus),
        origin_(face.origin_mm),
        axis_(face.axis.normalized()),
        e1_(any_perpendicular(axis_)),
        e2_(axis_.cross(e1_)),
        major_mm_(face.radius_mm) {}

  double along(const Vec3& p) const {
    const Vec3 v = p - origin_;
    return torus_ ? std::atan2(v.dot(e2_), v.dot(e1_)) : v.dot(axis_);
  }
  double round(const Vec3& p) const {
    const Vec3 v = p - origin_;
    if (!torus_) return std::atan2(v.dot(e2_), v.dot(e1_));
    const double up = v.dot(axis_);
    return std::atan2(up, (v - up * axis_).norm() - major_mm_);
  }
  // From the strand to the point.
  Vec3 outwards(const Vec3& p) const {
    const Vec3 v = p - origin_;
    const double up = v.dot(axis_);
    const Vec3 flat = v - up * axis_;
    return torus_ ? Vec3(v - flat.normalized() * major_mm_) : flat;
  }
  bool torus() const { return torus_; }
  const Vec3& origin() const { return origin_; }
  const Vec3& axis() const { return axis_; }
  Vec3 radial(double angle_rad) const {
    return e1_ * std::cos(angle_rad) + e2_ * std::sin(angle_rad);
  }

 private:
  bool torus_;
  Vec3 origin_;
  Vec3 axis_;
  Vec3 e1_;
  Vec3 e2_;
  double major_mm_;
};

double nearest_turn(double angle_rad, double to_rad) {
  return angle_rad + kTurn_rad * std::round((to_rad - angle_rad) / kTurn_rad);
}

// Range of an angle over the grid, followed continuously from sample to sample.
template <typename AngleOf>
Interval followed(const ScanFace& face, const AngleOf& angle_of) {
  Interval range{1e300, -1e300};
  double row_start = 0.0;
  for (std::size_t row = 0; row < face.rows; ++row) {
    double last = row_start;
    for (std::size_t column = 0; column < face.columns; ++column) {
      const double raw = angle_of(face.at(column, row).point_mm);
      const bool first = row == 0 && column == 0;
      last = first ? raw : nearest_turn(raw, last);
      if (column == 0) row_start = last;
      range = {std::min(range.from, last), std::max(range.to, last)};
    }
  }
  return range;
}

Placed placed_face(const Scan& scan, std::size_t index, const Coordinates& coordinates) {
  const ScanFace& face = scan.faces[index];
  Placed placed{index, {1e300, -1e300}, {}};
  placed.round = followed(face, [&](const Vec3& p) { return coordinates.round(p); });
  Interval grid{0.0, 0.0};
  if (coordinates.torus()) {
    grid = followed(face, [&](const Vec3& p) { return coordinates.along(p); });
    if (face.regular && face.piece == 0) placed.along = grid;
  }
  const double middle = 0.5 * (grid.from + grid.to);
  // The grid of a piece stops short of the rings it ends at.
  if (!(coordinates.torus() && face.regular && face.piece == 0)) {
    for (const std::size_t edge : face.edges) {
      for (const Vec3& p : scan.edges[edge].points_mm) {
        double at = coordinates.along(p);
        if (coordinates.torus()) at = nearest_turn(at, middle);
        placed.along = {std::min(placed.along.from, at), std::max(placed.along.to, at)};
      }
    }
  }
  return placed;
}

// Unites intervals that touch within the slack; on a circle when the period is not 0.
struct United {
  Interval interval;
  std::vector<std::size_t> members;
};

std::vector<United> unite(const std::vector<Interval>& intervals, double slack, double period) {
  std::vector<United> united;
  for (std::size_t i = 0; i < intervals.size(); ++i) {
    United next{intervals[i], {i}};
    for (bool grown = true; grown;) {
      grown = false;
      for (std::size_t k = 0; k < united.size(); ++k) {
        Interval other = united[k].interval;
        if (period > 0.0) {
          const double shift =
              period * std::round((next.interval.from + next.interval.to - other.from - other.to) /
                                  (2.0 * period));
          other = {other.from + shift, other.to + shift};
          // A touch may also lie across the far side of the circle.
          if (other.from > next.interval.to + slack &&
              other.from - period <= next.interval.to + slack &&
              other.to - period >= next.interval.from - slack) {
            other = {other.from - period, other.to - period};
          } else if (other.to < next.interval.from - slack &&
                     other.to + period >= next.interval.from - slack &&
                     other.from + period <= next.interval.to + slack) {
            other = {other.from + period, other.to + period};
          }
        }
        if (other.from > next.interval.to + slack || other.to < next.interval.from - slack) {
          continue;
        }
        next.interval = {std::min(next.interval.from, other.from),
                         std::max(next.interval.to, other.to)};
        next.members.insert(next.members.end(), united[k].members.begin(), united[k].members.end());
        united.erase(united.begin() + static_cast<std::ptrdiff_t>(k));
        grown = true;
        break;
      }
    }
    united.push_back(std::move(next));
  }
  return united;
}

Angle covered(const std::vector<Placed>& placed) {
  std::vector<Interval> intervals;
  for (const Placed& one : placed) intervals.push_back(one.round);
  double total_rad = 0.0;
  for (const United& part : unite(intervals, 1e-3, kTurn_rad)) {
    total_rad += part.interval.to - part.interval.from;
  }
  return Angle::radians(std::min(total_rad, kTurn_rad));
}

// Whether the material lies towards the strand: +1 convex, -1 concave, 0 undecided.
int side_of(const ScanFace& face, const Coordinates& coordinates) {
  double votes = 0.0;
  for (const Sample& sample : face.grid) {
    votes += sample.normal.dot(coordinates.outwards(sample.point_mm).normalized());
  }
  const double share = votes / static_cast<double>(face.grid.size());
  return share > 0.5 ? 1 : share < -0.5 ? -1 : 0;
}

// Reach of the face from its surface's origin, for comparing axes over the faces' extent.
double reach_mm(const Scan& scan, const ScanFace& face) {
  double most_mm = 0.0;
  for (const std::size_t edge : face.edges) {
    for (const Vec3& p : scan.edges[edge].points_mm) {
      most_mm = std::max(most_mm, (p - face.origin_mm).norm());
    }
  }
  return most_mm;
}

struct Candidate {
  std::size_t face = 0;
  int side = 0;
  double reach_mm = 0.0;
};

bool same_surface(const Scan& scan, const Candidate& a, const Candidate& b) {
  const ScanFace& fa = scan.faces[a.face];
  const ScanFace& fb = scan.faces[b.face];
  if (fa.kind != fb.kind || a.side != b.side) return false;
  if (std::abs(fa.radius_mm - fb.radius_mm) > kSame_mm) return false;
  const double tilt = fa.axis.cross(fb.axis).norm();
  const Vec3 offset = fb.origin_mm - fa.origin_mm;
  if (fa.kind == SurfaceKind::kTorus) {
    return std::abs(fa.minor_mm - fb.minor_mm) <= kSame_mm && offset.norm() <= kSame_mm &&
           tilt * (fa.radius_mm + fa.minor_mm) <= kSame_mm;
  }
  return tilt * std::max(a.reach_mm, b.reach_mm) <= kSame_mm &&
         offset.cross(fa.axis).norm() <= kSame_mm;
}

Strand line_strand(const Coordinates& coordinates, const Interval& along) {
  Strand strand;
  strand.ends_mm[0] = coordinates.origin() + coordinates.axis() * along.from;
  strand.ends_mm[1] = coordinates.origin() + coordinates.axis() * along.to;
  strand.outwards[0] = -coordinates.axis();
  strand.outwards[1] = coordinates.axis();
  return strand;
}

Strand arc_strand(const Coordinates& coordinates, double radius_mm, const Interval& along) {
  Strand strand;
  strand.arc = true;
  strand.centre_mm = coordinates.origin();
  strand.axis = coordinates.axis();
  strand.radius_mm = radius_mm;
  strand.sweep = Angle::radians(along.to - along.from);
  const Vec3 from = coordinates.radial(along.from);
  const Vec3 to = coordinates.radial(along.to);
  strand.ends_mm[0] = strand.centre_mm + from * radius_mm;
  strand.ends_mm[1] = strand.centre_mm + to * radius_mm;
  strand.outwards[0] = -strand.axis.cross(from);
  strand.outwards[1] = strand.axis.cross(to);
  return strand;
}

// The strands of one group of faces on the same surface.
void add_strands(const Scan& scan, const std::vector<Candidate>& group,
                 std::vector<Strand>& strands) {
  const ScanFace& first = scan.faces[group.front().face];
  const Coordinates coordinates(first);
  const bool torus = coordinates.torus();
  std::vector<Placed> placed;
  std::vector<Interval> along;
  for (const Candidate& candidate : group) {
    placed.push_back(placed_face(scan, candidate.face, coordinates));
    along.push_back(placed.back().along);
  }
  const double slack = joint_tolerance_mm(scan) / (torus ? first.radius_mm : 1.0);
  for (const United& part : unite(along, slack, torus ? kTurn_rad : 0.0)) {
    if (!(part.interval.to > part.interval.from)) continue;
    if (torus && part.interval.to - part.interval.from > kTurn_rad - 1e-6) continue;
    Strand strand = torus ? arc_strand(coordinates, first.radius_mm, part.interval)
                          : line_strand(coordinates, part.interval);
    std::vector<Placed> members;
    for (const std::size_t member : part.members) members.push_back(placed[member]);
    strand.coverage = covered(members);
    strand.profile_mm = torus ? first.minor_mm : first.radius_mm;
    strand.convex = group.front().side > 0;
    for (const Placed& member : members) strand.faces.push_back(member.face);
    std::sort(strand.faces.begin(), strand.faces.end());
    strand.body = scan.faces[strand.faces.front()].body;
    strands.push_back(std::move(strand));
  }
}

std::vector<Candidate> candidates_of(const Scan& scan) {
  std::vector<Candidate> candidates;
  for (std::size_t i = 0; i < scan.faces.size(); ++i) {
    const ScanFace& face = scan.faces[i];
    const bool torus = face.kind == SurfaceKind::kTorus;
    if ((!torus && face.kind != SurfaceKind::kCylinder) || face.grid.empty()) continue;
    if (face.edges.empty() || (torus && face.radius_mm <= face.minor_mm)) continue;
    int side = side_of(face, Coordinates(face));
    // Loose surfaces look whichever way they were drawn.
    if (side != 0 && !scan.bodies[face.body].solid) side = 1;
    if (side != 0) candidates.push_back({i, side, reach_mm(scan, face)});
  }
  std::stable_sort(candidates.begin(), candidates.end(), [&](const auto& a, const auto& b) {
    return scan.faces[a.face].radius_mm < scan.faces[b.face].radius_mm;
  });
  return candidates;
}

// The line or circle an edge runs along.
std::optional<Strand> strand_of_edge(const ScanEdge& edge) {
  const Vec3& first = edge.points_mm.front();
  const Vec3& last = edge.points_mm.back();
  const Vec3 chord = last - first;
  double off_mm = 0.0;
  if (chord.norm() > 1e-9) {
    for (const Vec3& p : edge.points_mm) {
      off_mm = std::max(off_mm, (p - first).cross(chord.normalized()).norm());
    }
    if (off_mm < 0.1 * kSame_mm) {
      Strand strand;
      strand.ends_mm[0] = first;
      strand.ends_mm[1] = last;
      strand.outwards[1] = chord.normalized();
      strand.outwards[0] = -strand.outwards[1];
      return strand;
    }
  }
  const std::optional<Circle> circle = fit_circle(edge.points_mm);
  if (!circle || circle->residual_mm > kSame_mm || chord.norm() < kSame_mm) return std::nullopt;
  // Turn the axis so that the edge runs right-hand about it, adding up its own steps.
  double swept_rad = 0.0;
  for (std::size_t i = 0; i + 1 < edge.points_mm.size(); ++i) {
    const Vec3 a = edge.points_mm[i] - circle->centre_mm;
    const Vec3 b = edge.points_mm[i + 1] - circle->centre_mm;
    swept_rad += std::atan2(a.cross(b).dot(circle->axis), a.dot(b));
  }
  Strand strand;
  strand.arc = true;
  strand.centre_mm = circle->centre_mm;
  strand.axis = swept_rad < 0.0 ? Vec3(-circle->axis) : circle->axis;
  strand.radius_mm = circle->radius_mm;
  strand.sweep = Angle::radians(std::abs(swept_rad));
  strand.ends_mm[0] = first;
  strand.ends_mm[1] = last;
  strand.outwards[0] = -strand.axis.cross(first - circle->centre_mm).normalized();
  strand.outwards[1] = strand.axis.cross(last - circle->centre_mm).normalized();
  return strand;
}

// Outward normal of a face near a point.
Vec3 normal_near(const ScanFace& face, const Vec3& p) {
  if (face.kind == SurfaceKind::kPlane) return face.axis;
  const Sample* nearest = nullptr;
  for (const Sample& sample : face.grid) {
    if (nearest == nullptr ||
        (sample.point_mm - p).squaredNorm() < (nearest->point_mm - p).squaredNorm()) {
      nearest = &sample;
    }
  }
  if (nearest == nullptr) return Vec3::Zero();
  if (face.kind != SurfaceKind::kCylinder) return nearest->normal;
  // Exact on a cylinder: from its axis to the point, on the side the sample shows.
  const Vec3 v = p - face.origin_mm;
  const Vec3 flat = (v - v.dot(face.axis) * face.axis).normalized();
  const Vec3 w = nearest->point_mm - face.origin_mm;
  return nearest->normal.dot(w - w.dot(face.axis) * face.axis) > 0.0 ? flat : Vec3(-flat);
}

}  // namespace

double Strand::length_mm() const {
  return arc ? radius_mm * sweep.rad() : (ends_mm[1] - ends_mm[0]).norm();
}

double joint_tolerance_mm(const Scan& scan) {
  // A stated uncertainty of more than a hundredth is a display setting, not a statement of fit.
  return std::max(kSame_mm, 10.0 * std::min(scan.uncertainty_mm, 0.01));
}

std::vector<Strand> strands_of(const Scan& scan) {
  const std::vector<Candidate> candidates = candidates_of(scan);
  std::vector<Strand> strands;
  std::vector<bool> taken(candidates.size(), false);
  for (std::size_t i = 0; i < candidates.size(); ++i) {
    if (taken[i]) continue;
    std::vector<Candidate> group{candidates[i]};
    const double radius_mm = scan.faces[candidates[i].face].radius_mm;
    for (std::size_t k = i + 1; k < candidates.size(); ++k) {
      if (scan.faces[candidates[k].face].radius_mm > radius_mm + kSame_mm) break;
      if (taken[k] || !same_surface(scan, candidates[i], candidates[k])) continue;
      taken[k] = true;
      group.push_back(candidates[k]);
    }
    add_strands(scan, group, strands);
  }
  return strands;
}

std::vector<Strand> edge_strands_of(const Scan& scan) {
  std::vector<Strand> strands;
  for (const ScanEdge& edge : scan.edges) {
    if (edge.faces.size() != 2 || edge.points_mm.size() < 3) continue;
    const Vec3& middle = edge.points_mm[edge.points_mm.size() / 2];
    const ScanFace& a = scan.faces[edge.faces[0]];
    const ScanFace& b = scan.faces[edge.faces[1]];
    if (std::abs(normal_near(a, middle).dot(normal_near(b, middle))) > 1e-3) continue;
    std::optional<Strand> strand = strand_of_edge(edge);
    if (!strand) continue;
    strand->faces = edge.faces;
    strand->body = a.body;
    strands.push_back(std::move(*strand));
  }
  return strands;
}

}  // namespace bight::reader

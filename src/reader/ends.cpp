#include "reader/ends.h"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numbers>
#include <optional>

#include "reader/skin.h"
#include "reader/strand.h"

namespace bight::reader {

using base::Angle;
using exchange::EndCut;
using geometry::BendRow;
using geometry::Centreline;
using geometry::Frame;

namespace {

constexpr std::size_t kSectors = 24;
// A cut this much off square is a mitre; below it is drawing noise.
constexpr double kSquareBelow_deg = 0.01;

// The centreline seen from one of its ends, outwards positive.
class EndView {
 public:
  struct Place {
    double beyond_mm = 0.0;
    double inward_mm = 0.0;
    double normal_mm = 0.0;
  };

  EndView(const Centreline& line, bool at_b) : line_(line), at_b_(at_b) {
    const std::size_t count = line.segments.size();
    for (std::size_t i = 0; i < std::min<std::size_t>(count, 4); ++i) {
      segments_.push_back(at_b ? count - 1 - i : i);
    }
  }

  // Frame of the centreline at a distance beyond the end, looking outwards. Beyond the end the
  // line runs on straight.
  Frame at(double beyond_mm) const {
    double inside_mm = -beyond_mm;
    for (const std::size_t index : segments_) {
      const geometry::Segment& segment = line_.segments[index];
      const bool last = index == segments_.back();
      if (inside_mm <= segment.length_mm || last) {
        Frame frame = segment.at(at_b_ ? segment.length_mm - inside_mm : inside_mm);
        if (!at_b_) {
          frame.ahead = -frame.ahead;
          frame.normal = -frame.normal;
        }
        return frame;
      }
      inside_mm -= segment.length_mm;
    }
    return {};
  }

  // Where a point on the skin of a segment lies.
  Place place(const Vec3& p, std::size_t segment_index) const {
    double before_mm = 0.0;  // length between the end and this segment
    for (const std::size_t index : segments_) {
      const geometry::Segment& segment = line_.segments[index];
      if (index == segment_index) {
        const Seen seen = seen_from(segment, p);
        const double from_end_mm = at_b_ ? segment.length_mm - seen.along_mm : seen.along_mm;
        return {-(before_mm + from_end_mm), seen.inward_mm, seen.normal_mm};
      }
      before_mm += segment.length_mm;
    }
    return {-1e300, 0.0, 0.0};
  }

 private:
  const Centreline& line_;
  bool at_b_;
  std::vector<std::size_t> segments_;
};

struct RimPoint {
  Vec3 point_mm = Vec3::Zero();
  double beyond_mm = 0.0;
  std::size_t edge = 0;
};

// The furthest point of the skin in each direction round the centreline.
// half_mm becomes how far from the middle any of the points lies: corners of a square tube may fall
// between the directions that are kept.
std::vector<RimPoint> rim_of(const std::vector<EdgePoint>& points, const EndView& view,
                             const std::vector<Angle>& turns, double& half_mm) {
  std::array<std::optional<RimPoint>, kSectors> sectors;
  half_mm = 0.0;
  double furthest_mm = -1e300;
  for (const EdgePoint& point : points) {
    const EndView::Place place = view.place(point.point_mm, point.segment);
    // Directions count from the first bend's frame, whichever segment the point is on.
    const double turn =
        (std::atan2(place.normal_mm, place.inward_mm) + turns[point.segment].rad()) /
        (2.0 * std::numbers::pi);
    // Half a sector's offset keeps points on the frame's own axes clear of the borders.
    const double part = turn - std::floor(turn) + 0.5 / kSectors;
    const auto sector = static_cast<std::size_t>(std::floor(part * kSectors)) % kSectors;
    half_mm = std::max(half_mm, std::hypot(place.inward_mm, place.normal_mm));
    furthest_mm = std::max(furthest_mm, place.beyond_mm);
    if (!sectors[sector] || place.beyond_mm > sectors[sector]->beyond_mm) {
      sectors[sector] = RimPoint{point.point_mm, place.beyond_mm, point.edge};
    }
  }
  // A direction in which only the far side of the last piece was seen says nothing of this end.
  constexpr double kSteepest_ratio = 8.0;
  std::vector<RimPoint> rim;
  for (const auto& sector : sectors) {
    if (sector && furthest_mm - sector->beyond_mm < kSteepest_ratio * half_mm) {
      rim.push_back(*sector);
    }
  }
  return rim;
}

struct Plane {
  Vec3 origin_mm = Vec3::Zero();
  Vec3 normal = Vec3::UnitX();
};

std::optional<Plane> plane_through(const std::vector<RimPoint>& rim) {
  Plane plane;
  for (const RimPoint& point : rim) plane.origin_mm += point.point_mm;
  plane.origin_mm /= static_cast<double>(rim.size());
  Eigen::Matrix3d spread = Eigen::Matrix3d::Zero();
  for (const RimPoint& point : rim) {
    const Vec3 v = point.point_mm - plane.origin_mm;
    spread += v * v.transpose();
  }
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d> eigen(spread);
  plane.normal = eigen.eigenvectors().col(0).normalized();
  for (const RimPoint& point : rim) {
    if (std::abs((point.point_mm - plane.origin_mm).dot(plane.normal)) > kSame_mm) {
      return std::nullopt;
    }
  }
  return plane;
}

// Where f crosses zero along the centreline, nearest to the start of the search.
template <typename Function>
std::optional<double> crossing(const Function& f, double from_mm, double reach_mm) {
  constexpr int kSteps = 64;
  const double step_mm = reach_mm / kSteps;
  for (int i = 0; i < kSteps; ++i) {
    for (const double direction : {1.0, -1.0}) {
      double low = from_mm + direction * step_mm * i;
      double high = from_mm + direction * step_mm * (i + 1);
      double f_low = f(low);
      if (f_low == 0.0) return low;
      if (f_low * f(high) > 0.0) continue;
      for (int k = 0; k < 60; ++k) {
        const double middle = 0.5 * (low + high);
        const double f_middle = f(middle);
        if (f_low * f_middle > 0.0) {
          low = middle;
          f_low = f_middle;
        } else {
          high = middle;
        }
      }
      return 0.5 * (low + high);
    }
  }
  return std::nullopt;
}

// The cylinder that most of the rim was cut by, if it was one.
const ScanFace* cutting_cylinder(const Scan& scan, const std::vector<std::size_t>& skin_faces,
                                 const std::vector<RimPoint>& rim) {
  std::map<std::size_t, std::size_t> votes;
  for (const RimPoint& point : rim) {
    if (point.edge == kNoEdge) continue;
    for (const std::size_t face : scan.edges[point.edge].faces) {
      if (std::binary_search(skin_faces.begin(), skin_faces.end(), face)) continue;
      if (scan.faces[face].kind == SurfaceKind::kCylinder) ++votes[face];
    }
  }
  const ScanFace* best = nullptr;
  std::size_t most = 0;
  std::size_t total = 0;
  for (const auto& [face, count] : votes) {
    total += count;
    if (count <= most) continue;
    most = count;
    best = &scan.faces[face];
  }
  return 2 * total >= rim.size() ? best : nullptr;
}

// Whether most of the rim borders on a face that reaches outside the skin.
bool stops_at_something(const Scan& scan, const std::vector<std::size_t>& skin_faces,
                        const std::vector<RimPoint>& rim, const Frame& end, double size_mm) {
  for (const RimPoint& point : rim) {
    size_mm = std::max(size_mm, (point.point_mm - end.origin_mm).cross(end.ahead).norm());
  }
  std::map<std::size_t, bool> reaches;
  std::size_t count = 0;
  for (const RimPoint& point : rim) {
    if (point.edge == kNoEdge) continue;
    for (const std::size_t face : scan.edges[point.edge].faces) {
      if (std::binary_search(skin_faces.begin(), skin_faces.end(), face)) continue;
      const auto [known, is_new] = reaches.try_emplace(face, false);
      for (const std::size_t edge : scan.faces[face].edges) {
        if (!is_new) break;
        for (const Vec3& p : scan.edges[edge].points_mm) {
          const double off_mm = (p - end.origin_mm).cross(end.ahead).norm();
          known->second = known->second || off_mm > size_mm + 0.1;
        }
      }
      if (known->second) ++count;
    }
  }
  return 2 * count > rim.size();
}

void measure_generators(const std::vector<RimPoint>& rim, EndLook& look) {
  double longest_mm = -1e300;
  double shortest_mm = 1e300;
  for (const RimPoint& point : rim) {
    longest_mm = std::max(longest_mm, point.beyond_mm);
    shortest_mm = std::min(shortest_mm, point.beyond_mm);
  }
  look.end.longest_mm = longest_mm - look.beyond_mm;
  look.end.shortest_mm = shortest_mm - look.beyond_mm;
}

// The generators of a round tube cut by a plane, exactly; the rim's points only come near.
void measure_mitre(const std::vector<RimPoint>& rim, const Frame& end, EndLook& look) {
  double least_mm = 1e300;
  double most_mm = 0.0;
  for (const RimPoint& point : rim) {
    const double off_mm = (point.point_mm - end.origin_mm).cross(end.ahead).norm();
    least_mm = std::min(least_mm, off_mm);
    most_mm = std::max(most_mm, off_mm);
  }
  if (most_mm - least_mm > kSame_mm) return;
  look.end.longest_mm = most_mm * base::tan(look.end.mitre);
  look.end.shortest_mm = -look.end.longest_mm;
}

}  // namespace

EndLook look_at_end(const Scan& scan, const std::vector<EdgePoint>& points,
                    const std::vector<std::size_t>& skin_faces, const Centreline& line,
                    const std::vector<Angle>& turns, bool at_b) {
  EndLook look;
  const EndView view(line, at_b);
  double half_mm = 0.0;
  const std::vector<RimPoint> rim = rim_of(points, view, turns, half_mm);
  if (rim.size() < 4) return look;
  look.seen = true;
  double longest_mm = -1e300;
  double mean_mm = 0.0;
  double size_mm = 0.0;
  for (const RimPoint& point : rim) {
    longest_mm = std::max(longest_mm, point.beyond_mm);
    mean_mm += point.beyond_mm / static_cast<double>(rim.size());
    size_mm = std::max(size_mm, (point.point_mm - rim.front().point_mm).norm());
  }
  look.beyond_mm = longest_mm;
  look.covered = stops_at_something(scan, skin_faces, rim, view.at(longest_mm), half_mm);
  if (const std::optional<Plane> plane = plane_through(rim)) {
    const auto found = crossing(
        [&](double x) { return (view.at(x).origin_mm - plane->origin_mm).dot(plane->normal); },
        mean_mm, 2.0 * size_mm);
    if (found) look.beyond_mm = *found;
    const Vec3 ahead = view.at(look.beyond_mm).ahead;
    const Vec3 outwards = plane->normal.dot(ahead) < 0.0 ? Vec3(-plane->normal) : plane->normal;
    const Angle off = geometry::angle_between(outwards, ahead);
    if (off.deg() >= kSquareBelow_deg) {
      look.end.cut = EndCut::kMitre;
      look.end.mitre = off;
      measure_generators(rim, look);
      measure_mitre(rim, view.at(look.beyond_mm), look);
    }
    return look;
  }
  const auto at_longest = std::count_if(rim.begin(), rim.end(), [&](const RimPoint& point) {
    return longest_mm - point.beyond_mm <= kSame_mm;
  });
  if (2 * static_cast<std::size_t>(at_longest) >= rim.size()) {
    look.notched = true;
    return look;
  }
  look.end.cut = EndCut::kCoped;
  if (const ScanFace* cylinder = cutting_cylinder(scan, skin_faces, rim)) {
    look.end.cut_radius_mm = cylinder->radius_mm;
    const auto found = crossing(
        [&](double x) {
          return (view.at(x).origin_mm - cylinder->origin_mm).cross(cylinder->axis).norm() -
                 cylinder->radius_mm;
        },
        mean_mm, 2.0 * size_mm);
    if (found) look.beyond_mm = *found;
  }
  measure_generators(rim, look);
  return look;
}

double furthest_cap_mm(const Scan& scan, const std::vector<std::size_t>& bodies,
                       const Centreline& line, bool at_b, double half_size_mm, double beyond_mm) {
  const EndView view(line, at_b);
  const Frame end = view.at(beyond_mm);
  double furthest_mm = beyond_mm;
  for (const std::size_t body : bodies) {
    for (const std::size_t index : scan.bodies[body].faces) {
      const ScanFace& face = scan.faces[index];
      if (face.kind != SurfaceKind::kPlane || face.axis.dot(end.ahead) < 0.5) continue;
      const double out_mm =
          (face.origin_mm - end.origin_mm).dot(face.axis) / face.axis.dot(end.ahead);
      if (out_mm < kSame_mm || out_mm > 2.0 * half_size_mm) continue;
      bool within = !face.edges.empty();
      for (const std::size_t edge : face.edges) {
        for (const Vec3& p : scan.edges[edge].points_mm) {
          const double off_mm = (p - end.origin_mm).cross(end.ahead).norm();
          within = within && off_mm <= half_size_mm + kSame_mm;
        }
      }
      if (within) furthest_mm = std::max(furthest_mm, beyond_mm + out_mm);
    }
  }
  return furthest_mm;
}

Trimmed trimmed(const geometry::BendTable& table, const Frame& start, double beyond_a_mm,
                double beyond_b_mm) {
  std::vector<BendRow> rows = table.rows();
  double last_mm = table.last_straight_mm() + beyond_b_mm;
  Frame from = start.advanced(-beyond_a_mm);
  if (rows.empty()) {
    auto straight = geometry::BendTable::make({}, last_mm + beyond_a_mm);
    return straight.ok() ? Trimmed{*straight, from} : Trimmed{table, start};
  }
  rows.front().straight_mm += beyond_a_mm;
  if (rows.front().straight_mm < 0.0) {
    // The cut lies inside the first bend: what is missing comes off its angle.
    BendRow& row = rows.front();
    const Angle missing = Angle::radians(-row.straight_mm / row.radius_mm);
    if (missing < row.angle) {
      from = from.advanced(row.straight_mm).swept(row.radius_mm, missing);
      row.angle = row.angle - missing;
      row.straight_mm = 0.0;
    }
  }
  if (last_mm < 0.0) {
    BendRow& row = rows.back();
    const Angle missing = Angle::radians(-last_mm / row.radius_mm);
    if (missing < row.angle) {
      row.angle = row.angle - missing;
      last_mm = 0.0;
    }
  }
  auto made = geometry::BendTable::make(std::move(rows), last_mm);
  return made.ok() ? Trimmed{*made, from} : Trimmed{table, start};
}

Trimmed from_other_end(const geometry::BendTable& table, const Frame& start) {
  return {table.reversed(), geometry::start_at_other_end(table, start)};
}

}  // namespace bight::reader

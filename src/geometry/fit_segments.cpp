#include "geometry/fit_segments.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "geometry/corners.h"
#include "geometry/dense.h"

namespace bight::geometry {

using base::Angle;
using base::Result;

namespace {

// Price of a segment in squared noise units: about three for each of its parameters (4 and 7) with
// room for noise that is not quite normal.
constexpr double kLinePrice = 16.0;
constexpr double kArcPrice = 26.0;
// More points are thinned first: the search grows with their square.
constexpr std::size_t kMostPoints = 700;

// Running sums over consecutive points, enough for a line and an algebraic circle.
struct Moments {
  double num = 0.0;
  Vec3 first = Vec3::Zero();
  Eigen::Matrix3d second = Eigen::Matrix3d::Zero();
  Vec3 third = Vec3::Zero();  // |x|^2 x
  double fourth = 0.0;        // |x|^4

  void add(const Vec3& x) {
    const double square = x.squaredNorm();
    num += 1.0;
    first += x;
    second.noalias() += x * x.transpose();
    third += square * x;
    fourth += square * square;
  }
};

struct Misfit {
  double line_mm2 = 0.0;
  double arc_mm2 = std::numeric_limits<double>::infinity();
};

Misfit misfit_of(const Moments& m) {
  Misfit misfit;
  const Vec3 mean = m.first / m.num;
  const Eigen::Matrix3d c = m.second - mean * m.first.transpose();
  const Axes3 eigen = symmetric_axes_direct(c);
  const Vec3 moment = eigen.values.cwiseMax(0.0);
  misfit.line_mm2 = moment[0] + moment[1];
  if (m.num < 5.0 || moment[1] <= 1e-12 * moment[2]) return misfit;
  // Sums about the mean: third and fourth moments shifted.
  const double trace = c.trace();
  const double mm = mean.squaredNorm();
  const double raw2 = m.second.trace();
  // sum |x-m|^2 (x-m), expanded.
  const Vec3 third = m.third - 2.0 * m.second * mean + mm * m.first +
                     mean * (2.0 * mean.dot(m.first) - raw2 - mm * m.num);
  const double fourth = m.fourth - 4.0 * mean.dot(m.third) + 2.0 * mm * raw2 +
                        4.0 * mean.dot(m.second * mean) - 4.0 * mm * mean.dot(m.first) +
                        mm * mm * m.num;
  // Algebraic circle in the plane of the two larger moments.
  Vec3 centre = Vec3::Zero();
  for (const int axis : {1, 2}) {
    const Vec3 e = eigen.vectors.col(axis);
    centre += e * (0.5 * e.dot(third) / moment[axis]);
  }
  const double radius2 = centre.squaredNorm() + trace / m.num;
  // sum (|d|^2 - 2 c.d - k)^2 with k = trace / num; its square root is 2 R times the distance.
  const double algebraic =
      fourth - 4.0 * centre.dot(third) + 4.0 * centre.dot(c * centre) - trace * trace / m.num;
  misfit.arc_mm2 = std::max(0.0, algebraic) / (4.0 * radius2) + moment[0];
  return misfit;
}

struct Split {
  double cost = std::numeric_limits<double>::infinity();
  std::size_t from = 0;
  bool is_arc = false;
};

// Best split of the points up to each one.
std::vector<Split> best_splits(const Points& points_mm, double noise_mm) {
  const std::size_t num = points_mm.size();
  const double scale = 1.0 / (noise_mm * noise_mm);
  std::vector<Split> best(num);
  best[0].cost = 0.0;
  for (std::size_t i = 0; i + 1 < num; ++i) {
    if (!std::isfinite(best[i].cost)) continue;
    Moments moments;
    moments.add(Vec3::Zero());  // about point i, for the digits
    for (std::size_t j = i + 1; j < num; ++j) {
      moments.add(points_mm[j] - points_mm[i]);
      const Misfit misfit = misfit_of(moments);
      const double line = best[i].cost + kLinePrice + misfit.line_mm2 * scale;
      const double arc = best[i].cost + kArcPrice + misfit.arc_mm2 * scale;
      if (line < best[j].cost) best[j] = {line, i, false};
      if (arc < best[j].cost) best[j] = {arc, i, true};
      // Nothing longer from here can be cheaper than what is already known to end here plus one
      // more segment; four such prices leave room for the misfit of one bad point.
      if (std::min(line, arc) > best[j].cost + 8.0 * kArcPrice && j > i + 8) break;
    }
  }
  return best;
}

SpineSegment line_through(const Points& points_mm, std::size_t first, std::size_t last) {
  SpineSegment segment{false, first, last};
  const Points part(points_mm.begin() + static_cast<std::ptrdiff_t>(first),
                    points_mm.begin() + static_cast<std::ptrdiff_t>(last) + 1);
  const Result<LineFit> line = fit_line(part);
  segment.point_mm = points_mm[first];
  segment.direction = points_mm[last] - points_mm[first];
  if (line.ok()) {
    const double side = line->direction.dot(segment.direction) < 0.0 ? -1.0 : 1.0;
    segment.point_mm = line->point_mm;
    segment.direction = line->direction * side;
  }
  segment.direction.normalize();
  return segment;
}

SpineSegment arc_through(const Points& points_mm, std::size_t first, std::size_t last) {
  const Points part(points_mm.begin() + static_cast<std::ptrdiff_t>(first),
                    points_mm.begin() + static_cast<std::ptrdiff_t>(last) + 1);
  const Result<CircleFit> circle = fit_circle(part);
  if (!circle.ok()) return line_through(points_mm, first, last);
  SpineSegment segment{true, first, last, circle->centre_mm, circle->normal, circle->radius_mm};
  double turned = 0.0;
  for (std::size_t i = first; i < last; ++i) {
    turned += (points_mm[i] - circle->centre_mm)
                  .cross(points_mm[i + 1] - circle->centre_mm)
                  .dot(segment.direction);
  }
  if (turned < 0.0) segment.direction = -segment.direction;
  return segment;
}

// Direction of travel on the arc beside a point.
Vec3 tangent_at(const SpineSegment& arc, const Vec3& p_mm) {
  return arc.direction.cross(p_mm - arc.point_mm).normalized();
}

Vec3 on_arc(const SpineSegment& arc, const Vec3& p_mm) {
  const Vec3 d = p_mm - arc.point_mm;
  const Vec3 flat = d - arc.direction * d.dot(arc.direction);
  return arc.point_mm + flat.normalized() * arc.radius_mm;
}

struct Leg {
  Vec3 point_mm;
  Vec3 direction;
  double radius_mm = 0.0;  // of the bend after it; 0 when no arc was seen
  Vec3 middle_mm;          // of the bend after it
  bool same_bend = false;  // the bend after it continues the one before: a long bend cut in parts
};

// A leg beside an arc: its own line when it is long enough to have a direction, else the tangent.
Leg tangent_leg(const SpineSegment& arc, const Vec3& p_mm) {
  return {on_arc(arc, p_mm), tangent_at(arc, p_mm), 0.0, p_mm, false};
}

Leg mean_leg(const Leg& a, const Leg& b) {
  return {0.5 * (a.point_mm + b.point_mm), (a.direction + b.direction).normalized(), 0.0,
          0.5 * (a.middle_mm + b.middle_mm), false};
}

// Swept angle of the arc over its points.
double sweep_rad(const Points& points_mm, const SpineSegment& arc) {
  double sum = 0.0;
  for (std::size_t i = arc.first; i < arc.last; ++i) {
    const Vec3 a = points_mm[i] - arc.point_mm;
    const Vec3 b = points_mm[i + 1] - arc.point_mm;
    sum += std::atan2(a.cross(b).dot(arc.direction), a.dot(b));
  }
  return sum;
}

// The straight lines of the tube in order, with the bend that follows each. Long bends get helper
// legs along their middle tangents so that every corner is near.
std::vector<Leg> legs_of(const Points& points_mm, const std::vector<SpineSegment>& segments,
                         double tube_radius_mm) {
  constexpr double kWidestPart_rad = 100.0 * std::numbers::pi / 180.0;
  const auto line_leg = [&](std::size_t k) {
    const SpineSegment& s = segments[k];
    Leg leg{s.point_mm, s.direction, 0.0, s.point_mm, false};
    const double length_mm = (points_mm[s.last] - points_mm[s.first]).norm();
    const bool short_line = length_mm < 2.0 * tube_radius_mm;
    if (short_line && k > 0 && k + 1 < segments.size() && segments[k - 1].is_arc &&
        segments[k + 1].is_arc) {
      return mean_leg(tangent_leg(segments[k - 1], points_mm[s.first]),
                      tangent_leg(segments[k + 1], points_mm[s.last]));
    }
    return leg;
  };
  std::vector<Leg> legs;
  for (std::size_t k = 0; k < segments.size(); ++k) {
    const SpineSegment& s = segments[k];
    if (!s.is_arc) {
      legs.push_back(line_leg(k));
      // Two lines that meet without an arc: the bend lies where they do.
      legs.back().middle_mm = points_mm[s.last];
      continue;
    }
    if (k == 0) {
      legs.push_back(tangent_leg(s, points_mm[s.first]));
    } else if (segments[k - 1].is_arc) {
      legs.push_back(mean_leg(tangent_leg(segments[k - 1], points_mm[s.first]),
                              tangent_leg(s, points_mm[s.first])));
    }
    const double sweep = sweep_rad(points_mm, s);
    const int parts = std::max(1, static_cast<int>(std::ceil(std::abs(sweep) / kWidestPart_rad)));
    const Vec3 from = points_mm[s.first] - s.point_mm;
    const auto at = [&](double share) {
      return Vec3(s.point_mm + turned(from, s.direction, Angle::radians(sweep * share)));
    };
    for (int part = 0; part < parts; ++part) {
      if (part > 0) {
        legs.push_back(tangent_leg(s, at(static_cast<double>(part) / parts)));
        legs[legs.size() - 1].same_bend = true;
      }
      legs.back().radius_mm = s.radius_mm;
      legs.back().middle_mm = on_arc(s, at((part + 0.5) / parts));
    }
    if (k + 1 == segments.size()) legs.push_back(tangent_leg(s, points_mm[s.last]));
  }
  return legs;
}

// Where two legs meet: midway between the lines where they pass closest; for shallow bends, where
// that is ill-conditioned, beside the middle of the bend.
Vec3 corner_of(const Leg& a, const Leg& b) {
  const double cosine = a.direction.dot(b.direction);
  const double sine2 = a.direction.cross(b.direction).squaredNorm();
  const Vec3 d = b.point_mm - a.point_mm;
  double s = (a.middle_mm - a.point_mm).dot(a.direction);
  double t = (a.middle_mm - b.point_mm).dot(b.direction);
  if (sine2 > 0.12) {  // 20°
    s = (d.dot(a.direction) - cosine * d.dot(b.direction)) / sine2;
    t = (cosine * d.dot(a.direction) - d.dot(b.direction)) / sine2;
  }
  return 0.5 * (a.point_mm + a.direction * s + b.point_mm + b.direction * t);
}

double usual_radius_mm(const std::vector<Leg>& legs, double tube_radius_mm) {
  std::vector<double> radii_mm;
  for (const Leg& leg : legs) {
    if (leg.radius_mm > 0.0) radii_mm.push_back(leg.radius_mm);
  }
  if (radii_mm.empty()) return 4.0 * tube_radius_mm;
  std::sort(radii_mm.begin(), radii_mm.end());
  return radii_mm[radii_mm.size() / 2];
}

// Rows whose bend is part of the one before are put together again.
void join_parts(RoughTable& table, const std::vector<bool>& same_bend) {
  std::vector<BendRow> out;
  double carried_mm = 0.0;
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    BendRow row = table.rows[i];
    if (i == 0 || !same_bend[i]) {
      row.straight_mm += carried_mm;
      carried_mm = 0.0;
      out.push_back(row);
      continue;
    }
    // What is left between the parts is shared between the straights on either side.
    out.back().straight_mm += 0.5 * row.straight_mm;
    carried_mm += 0.5 * row.straight_mm;
    out.back().angle = out.back().angle + row.angle;
  }
  table.last_straight_mm += carried_mm;
  table.rows = std::move(out);
}

}  // namespace

std::vector<SpineSegment> split_spine(const Points& points_mm, double noise_mm) {
  const std::size_t stride = (points_mm.size() + kMostPoints - 1) / kMostPoints;
  Points used;
  std::vector<std::size_t> index;
  for (std::size_t i = 0; i < points_mm.size(); i += std::max<std::size_t>(1, stride)) {
    used.push_back(points_mm[i]);
    index.push_back(i);
  }
  if (index.back() + 1 != points_mm.size()) {
    used.push_back(points_mm.back());
    index.push_back(points_mm.size() - 1);
  }
  const std::vector<Split> best = best_splits(used, noise_mm);
  std::vector<SpineSegment> segments;
  for (std::size_t at = used.size() - 1; at > 0; at = best[at].from) {
    const std::size_t first = index[best[at].from];
    segments.push_back(best[at].is_arc ? arc_through(points_mm, first, index[at])
                                       : line_through(points_mm, first, index[at]));
  }
  std::reverse(segments.begin(), segments.end());
  return segments;
}

Result<RoughTable> rough_table(const Points& points_mm, const std::vector<SpineSegment>& segments,
                               double tube_radius_mm) {
  const std::vector<Leg> legs = legs_of(points_mm, segments, tube_radius_mm);
  const double usual_mm = usual_radius_mm(legs, tube_radius_mm);
  Points corners;
  std::vector<double> radii_mm;
  std::vector<bool> same_bend;
  corners.push_back(legs.front().point_mm +
                    legs.front().direction *
                        (points_mm.front() - legs.front().point_mm).dot(legs.front().direction));
  for (std::size_t i = 0; i + 1 < legs.size(); ++i) {
    corners.push_back(corner_of(legs[i], legs[i + 1]));
    radii_mm.push_back(legs[i].radius_mm > 0.0 ? legs[i].radius_mm : usual_mm);
    same_bend.push_back(legs[i].same_bend);
  }
  corners.push_back(legs.back().point_mm +
                    legs.back().direction *
                        (points_mm.back() - legs.back().point_mm).dot(legs.back().direction));
  return table_through(corners, radii_mm, same_bend);
}

Result<RoughTable> table_through(const Points& corners_mm, const std::vector<double>& radii_mm,
                                 const std::vector<bool>& same_bend) {
  CornerOptions options;
  options.straight_below = Angle::degrees(0.05);
  BIGHT_TRY(const FromCorners from, to_bend_table(corners_mm, radii_mm, options));
  std::vector<bool> kept_same;
  for (const std::size_t point : from.bend_points) kept_same.push_back(same_bend[point - 1]);
  RoughTable rough{from.table.rows(), from.table.last_straight_mm(), from.start};
  join_parts(rough, kept_same);
  return rough;
}

}  // namespace bight::geometry

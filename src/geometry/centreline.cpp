#include "geometry/centreline.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace bight::geometry {

using base::Angle;

Frame Segment::at(double along_mm) const {
  if (!is_arc()) return start.advanced(along_mm);
  return start.swept(radius_mm, Angle::radians(along_mm / radius_mm));
}

double Centreline::length_mm() const {
  double total_mm = 0.0;
  for (const Segment& segment : segments) total_mm += segment.length_mm;
  return total_mm;
}

Vec3 Centreline::at_mm(double along_mm) const {
  double left_mm = std::max(0.0, along_mm);
  for (const Segment& segment : segments) {
    if (left_mm <= segment.length_mm) return segment.at(left_mm).origin_mm;
    left_mm -= segment.length_mm;
  }
  return end_mm();
}

std::vector<Vec3> Centreline::sampled_mm(double sagitta_mm) const {
  std::vector<Vec3> points{start_mm()};
  for (const Segment& segment : segments) {
    int num_parts = 1;
    if (segment.is_arc()) {
      // Sagitta of a chord over angle a is R (1 - cos(a/2)).
      const double cosine = std::clamp(1.0 - sagitta_mm / segment.radius_mm, -1.0, 1.0);
      const double step_rad = std::max(2.0 * std::acos(cosine), 1e-3);
      num_parts = std::max(1, static_cast<int>(std::ceil(segment.angle.rad() / step_rad)));
    }
    for (int i = 1; i <= num_parts; ++i) {
      points.push_back(segment.at(segment.length_mm * i / num_parts).origin_mm);
    }
  }
  return points;
}

Centreline lay_out(const BendTable& table, const Frame& start) {
  Centreline line;
  Frame frame = start;
  for (const BendRow& row : table.rows()) {
    line.segments.push_back({frame, row.straight_mm, 0.0, Angle()});
    frame = frame.advanced(row.straight_mm).rolled(row.rotation);
    line.segments.push_back({frame, row.arc_mm(), row.radius_mm, row.angle});
    frame = frame.swept(row.radius_mm, row.angle);
  }
  line.segments.push_back({frame, table.last_straight_mm(), 0.0, Angle()});
  line.end = frame.advanced(table.last_straight_mm());
  return line;
}

Frame start_at_other_end(const BendTable& table, const Frame& start) {
  Frame end = lay_out(table, start).end;
  end.ahead = -end.ahead;
  end.normal = -end.normal;
  return end;
}

std::vector<Vec3> corner_points_mm(const BendTable& table, const Frame& start, Angle split_above) {
  constexpr double kWidestPart_rad = 120.0 * std::numbers::pi / 180.0;
  const Centreline line = lay_out(table, start);
  std::vector<Vec3> points{line.start_mm()};
  for (std::size_t i = 0; i < table.num_bends(); ++i) {
    const Segment& bend = line.bend(i);
    const int num_parts = bend.angle <= split_above
                              ? 1
                              : static_cast<int>(std::ceil(bend.angle.rad() / kWidestPart_rad));
    const Angle part = bend.angle / num_parts;
    for (int k = 0; k < num_parts; ++k) {
      const Frame at = bend.start.swept(bend.radius_mm, part * k);
      points.push_back(at.origin_mm + at.ahead * (bend.radius_mm * base::tan(part / 2.0)));
    }
  }
  points.push_back(line.end_mm());
  return points;
}

namespace {

// Adds the flat disc of the given radius, normal to nhat_axis, to the box.
void add_disc(Eigen::AlignedBox3d& box, const Vec3& centre_mm, const Vec3& nhat_axis,
              double radius_mm) {
  Vec3 reach_mm;
  for (int axis = 0; axis < 3; ++axis) {
    // The other two components, not sqrt(1 - n²), which makes 1e-8 of the last bit of n near 1.
    reach_mm[axis] = radius_mm * std::hypot(nhat_axis[(axis + 1) % 3], nhat_axis[(axis + 2) % 3]);
  }
  box.extend(centre_mm + reach_mm);
  box.extend(centre_mm - reach_mm);
}

// Adds the points of the arc whose tangent is square to a coordinate axis: there the tube reaches
// furthest along that axis, by its own radius beyond the centreline.
void add_arc(Eigen::AlignedBox3d& box, const Segment& arc, double radius_mm) {
  for (int axis = 0; axis < 3; ++axis) {
    const double tangent_ahead = arc.start.ahead[axis];
    const double tangent_inward = arc.start.inward[axis];
    if (std::hypot(tangent_ahead, tangent_inward) < 1e-12) continue;
    // Tangent at angle a is ahead cos a + inward sin a: zero at a0 + k pi.
    double a_rad = std::atan2(-tangent_ahead, tangent_inward);
    while (a_rad > 0.0) a_rad -= std::numbers::pi;
    for (; a_rad <= arc.angle.rad(); a_rad += std::numbers::pi) {
      if (a_rad < 0.0) continue;
      const Vec3 p_mm = arc.start.swept(arc.radius_mm, Angle::radians(a_rad)).origin_mm;
      for (const double side : {-radius_mm, radius_mm}) {
        Vec3 reached_mm = p_mm;
        reached_mm[axis] += side;
        // Only this axis: the other coordinates of the point are covered elsewhere.
        box.min()[axis] = std::min(box.min()[axis], reached_mm[axis]);
        box.max()[axis] = std::max(box.max()[axis], reached_mm[axis]);
      }
    }
  }
}

}  // namespace

Eigen::AlignedBox3d envelope_mm(const Centreline& line, double od_mm) {
  Eigen::AlignedBox3d box;
  const double radius_mm = od_mm / 2.0;
  add_disc(box, line.end_mm(), line.end.ahead, radius_mm);
  for (const Segment& segment : line.segments) {
    add_disc(box, segment.start.origin_mm, segment.start.ahead, radius_mm);
    if (segment.is_arc()) add_arc(box, segment, radius_mm);
  }
  return box;
}

}  // namespace bight::geometry

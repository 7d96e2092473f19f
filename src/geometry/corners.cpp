#include "geometry/corners.h"

#include <fmt/format.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>

namespace bight::geometry {

using base::Angle;
using base::Failure;

namespace {

struct Corner {
  Vec3 p_mm;
  double radius_mm = 0.0;  // 0 at the ends
  std::size_t point = 0;   // input index
};

base::Status check_input(const std::vector<Vec3>& points_mm, const std::vector<double>& radii_mm) {
  for (std::size_t i = 0; i < points_mm.size(); ++i) {
    if (!points_mm[i].allFinite()) {
      return Failure{"corners.number", fmt::format("point {}", i + 1),
                     "a coordinate is not a finite number", "give x, y, z as lengths"};
    }
  }
  const std::size_t wanted = points_mm.size() < 2 ? 0 : points_mm.size() - 2;
  if (radii_mm.size() != wanted) {
    return Failure{"corners.radii", "radii",
                   fmt::format("{} radii for {} inner corners", radii_mm.size(), wanted),
                   "give one radius for each corner between the two ends"};
  }
  for (std::size_t i = 0; i < radii_mm.size(); ++i) {
    if (!std::isfinite(radii_mm[i]) || radii_mm[i] <= 0.0) {
      return Failure{"corners.radii", fmt::format("radius of corner {}", i + 1),
                     fmt::format("a radius of {:.6g} mm cannot be bent", radii_mm[i]),
                     "give a centreline radius above zero"};
    }
  }
  return base::Done{};
}

// The points that stand apart, in order.
std::vector<Corner> distinct(const std::vector<Vec3>& points_mm,
                             const std::vector<double>& radii_mm, double coincident_below_mm,
                             std::vector<CornerNote>& notes) {
  std::vector<Corner> corners;
  for (std::size_t i = 0; i < points_mm.size(); ++i) {
    const bool inner = i > 0 && i + 1 < points_mm.size();
    const Corner corner{points_mm[i], inner ? radii_mm[i - 1] : 0.0, i};
    if (!corners.empty() && (corner.p_mm - corners.back().p_mm).norm() < coincident_below_mm) {
      notes.push_back({"corners.coincident", i,
                       fmt::format("points {} and {} are the same; one was dropped",
                                   corners.back().point + 1, i + 1)});
      // The last point is the end of the part: it stays, its twin goes.
      if (!inner && corners.size() > 1) corners.back() = corner;
      continue;
    }
    corners.push_back(corner);
  }
  return corners;
}

// Drops the corners that do not turn. Repeats until none is left, since dropping one changes the
// legs of its neighbours.
base::Result<std::vector<Corner>> turning(std::vector<Corner> corners, Angle straight_below,
                                          std::vector<CornerNote>& notes) {
  for (std::size_t i = 1; i + 1 < corners.size();) {
    const Vec3 before_mm = corners[i].p_mm - corners[i - 1].p_mm;
    const Vec3 after_mm = corners[i + 1].p_mm - corners[i].p_mm;
    const Angle turn = angle_between(before_mm, after_mm);
    if (turn < straight_below) {
      notes.push_back({"corners.collinear", corners[i].point,
                       fmt::format("point {} turns only {:.4f}°; it is no bend and was dropped",
                                   corners[i].point + 1, turn.deg())});
      corners.erase(corners.begin() + static_cast<std::ptrdiff_t>(i));
      i = i > 1 ? i - 1 : 1;
      continue;
    }
    if (Angle::degrees(180) - turn < straight_below) {
      return Failure{"corners.reversal", fmt::format("point {}", corners[i].point + 1),
                     "the line turns straight back on itself, so the bend has no plane",
                     "give a U as two corners or as a bend of 180° in a bend table"};
    }
    ++i;
  }
  return corners;
}

}  // namespace

base::Result<FromCorners> to_bend_table(const std::vector<Vec3>& points_mm,
                                        const std::vector<double>& radii_mm,
                                        const CornerOptions& options) {
  BIGHT_TRY(base::Done checked, check_input(points_mm, radii_mm));
  static_cast<void>(checked);
  std::vector<CornerNote> notes;
  BIGHT_TRY(const std::vector<Corner> corners,
            turning(distinct(points_mm, radii_mm, options.coincident_below_mm, notes),
                    options.straight_below, notes));
  if (corners.size() < 2) {
    return Failure{"corners.few", "corners",
                   fmt::format("{} distinct point(s) do not make a part", corners.size()),
                   "give at least end A and end B"};
  }
  std::vector<BendRow> rows;
  std::vector<std::size_t> bend_points;
  Frame start;
  start.origin_mm = corners.front().p_mm;
  Vec3 nhat_previous = Vec3::Zero();
  double setback_mm = 0.0;
  for (std::size_t i = 1; i + 1 < corners.size(); ++i) {
    const Vec3 before_mm = corners[i].p_mm - corners[i - 1].p_mm;
    const Vec3 after_mm = corners[i + 1].p_mm - corners[i].p_mm;
    const Vec3 ahead = before_mm.normalized();
    const Vec3 nhat = ahead.cross(after_mm).normalized();
    BendRow row;
    row.angle = angle_between(before_mm, after_mm);
    row.radius_mm = corners[i].radius_mm;
    if (rows.empty()) {
      start.ahead = ahead;
      start.normal = nhat;
      start.inward = nhat.cross(ahead);
    } else {
      row.rotation =
          Angle::radians(std::atan2(nhat_previous.cross(nhat).dot(ahead), nhat_previous.dot(nhat)));
    }
    row.straight_mm = before_mm.norm() - setback_mm - row.setback_mm();
    setback_mm = row.setback_mm();
    nhat_previous = nhat;
    rows.push_back(row);
    bend_points.push_back(corners[i].point);
  }
  const Vec3 last_mm = corners.back().p_mm - corners[corners.size() - 2].p_mm;
  if (rows.empty()) {
    start.ahead = last_mm.normalized();
    start.inward = start.ahead.unitOrthogonal();
    start.normal = start.ahead.cross(start.inward);
  }
  BIGHT_TRY(BendTable table, BendTable::make(std::move(rows), last_mm.norm() - setback_mm));
  return FromCorners{std::move(table), start, std::move(bend_points), std::move(notes)};
}

Angle plane_uncertainty(Angle angle, double leg_mm, double sigma_mm) {
  const double sine_ratio = std::max(base::sin(angle), 1e-12);
  return std::min(Angle::radians(sigma_mm * std::sqrt(6.0) / (leg_mm * sine_ratio)),
                  Angle::degrees(180));
}

}  // namespace bight::geometry

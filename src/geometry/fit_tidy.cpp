#include "geometry/fit_tidy.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "geometry/centreline.h"
#include "geometry/fit_segments.h"

namespace bight::geometry {

using base::Angle;

namespace {

constexpr double kAllowedRise_ratio = 1.003;
const Angle kShallow = Angle::degrees(10);
const Angle kSamePlane = Angle::degrees(20);
// Two bends further apart than so many tube radii are two.
constexpr double kNearBends_ratio = 6.0;
const Angle kWidestFound = Angle::degrees(120);

// The axis as a path of corners: an end point, the bends' corners, an end point. A wide bend has
// two corners or more. What stays in the path stays where it is in space, so that a fit can go on
// from there; along the chain of rows a change of one bend would swing everything behind it.
struct FoundCorner {
  Vec3 p_mm;
  double radius_mm;
  bool same_bend;  // continues the bend of the corner before
  std::size_t bend;
};

std::vector<FoundCorner> corners_of(const TubeAxis& axis) {
  const std::vector<AxisPiece> pieces = pieces_of(axis);
  std::vector<FoundCorner> out;
  for (std::size_t i = 0; i < axis.num_bends(); ++i) {
    const AxisPiece& arc = pieces[2 * i + 1];
    const int parts = 1 + static_cast<int>(arc.angle / kWidestFound);
    const Angle part = arc.angle / parts;
    Frame at{arc.start_mm, arc.ahead, arc.inward, arc.normal};
    for (int k = 0; k < parts; ++k) {
      out.push_back({at.origin_mm + at.ahead * (arc.radius_mm * base::tan(part / 2.0)),
                     arc.radius_mm, k > 0, i});
      at = at.swept(arc.radius_mm, part);
    }
  }
  return out;
}

std::optional<TubeAxis> axis_through(const TubeAxis& axis,
                                     const std::vector<FoundCorner>& corners) {
  const std::vector<AxisPiece> pieces = pieces_of(axis);
  if (corners.empty()) {
    TubeAxis straight = axis;
    straight.rows.clear();
    return straight;
  }
  // The tails are as long as it takes for their directions to stay.
  const double tail_mm = 50.0 * axis.radius_mm;
  Points path{pieces.front().start_mm - pieces.front().ahead * tail_mm};
  std::vector<double> radii_mm;
  std::vector<bool> same;
  for (const FoundCorner& corner : corners) {
    path.push_back(corner.p_mm);
    radii_mm.push_back(corner.radius_mm);
    same.push_back(corner.same_bend);
  }
  path.push_back(pieces.back().start_mm + pieces.back().ahead * tail_mm);
  const base::Result<RoughTable> rough = table_through(path, radii_mm, same);
  if (!rough.ok()) return std::nullopt;
  return axis_of(rough->rows, rough->start, axis.radius_mm);
}

// The axis without one bend: its straights run on into each other. Dropped at an end, the bend
// leaves the straight next to it as it is.
std::optional<TubeAxis> without_bend(const TubeAxis& axis, std::size_t bend) {
  if (axis.num_bends() > 1 && bend + 1 == axis.num_bends()) {
    TubeAxis out = axis;
    out.rows.pop_back();
    return out;
  }
  if (axis.num_bends() > 1 && bend == 0) {
    TubeAxis out = axis;
    const AxisPiece next = pieces_of(axis)[3];
    out.first_bend = Frame{next.start_mm, next.ahead, next.inward, next.normal};
    out.rows.erase(out.rows.begin());
    return out;
  }
  std::vector<FoundCorner> corners = corners_of(axis);
  std::erase_if(corners, [&](const FoundCorner& corner) { return corner.bend == bend; });
  return axis_through(axis, corners);
}

// The bend and the next made one bend between the straights before and after them.
std::optional<TubeAxis> with_one_for_two(const TubeAxis& axis, std::size_t bend) {
  const std::vector<AxisPiece> pieces = pieces_of(axis);
  const AxisPiece& before = pieces[2 * bend];
  const AxisPiece& after = pieces[2 * bend + 4];
  const Vec3 start_mm = pieces[2 * bend + 1].start_mm;
  const Angle angle = angle_between(before.ahead, after.ahead);
  const Angle sum = axis.rows[bend].angle + axis.rows[bend + 1].angle;
  if (sum > kWidestFound) {
    // No corner near: the chain must do. The two arcs and what lies between become one arc.
    TubeAxis out = axis;
    BendRow& one = out.rows[bend];
    const BendRow& second = axis.rows[bend + 1];
    one.angle = sum;
    one.radius_mm = (axis.rows[bend].arc_mm() + second.straight_mm + second.arc_mm()) / sum.rad();
    if (bend + 2 < axis.num_bends()) {
      BendRow& next = out.rows[bend + 2];
      next.rotation = (next.rotation + second.rotation).wrapped();
    }
    out.rows.erase(out.rows.begin() + static_cast<std::ptrdiff_t>(bend) + 1);
    return out;
  }
  // Midway between the two straights' lines where they pass closest.
  const double cosine = before.ahead.dot(after.ahead);
  const double sine2 = std::max(1.0 - cosine * cosine, 1e-12);
  const Vec3 d = after.start_mm - start_mm;
  const double s_mm = (d.dot(before.ahead) - cosine * d.dot(after.ahead)) / sine2;
  const double t_mm = (cosine * d.dot(before.ahead) - d.dot(after.ahead)) / sine2;
  const Vec3 corner_mm =
      0.5 * (start_mm + before.ahead * s_mm + after.start_mm + after.ahead * t_mm);
  const double setback_mm = std::max(0.5 * (s_mm - t_mm), 1e-3);
  std::vector<FoundCorner> corners;
  for (const FoundCorner& corner : corners_of(axis)) {
    if (corner.bend == bend && !corner.same_bend) {
      corners.push_back({corner_mm, setback_mm / base::tan(angle / 2.0), false, bend});
    }
    if (corner.bend != bend && corner.bend != bend + 1) corners.push_back(corner);
  }
  return axis_through(axis, corners);
}

// Fits the simpler axis at the same loss limit; absent when the points mind.
std::optional<AxisFit> accepted(const AxisFit& fit, const TubeAxis& simpler,
                                const Points& points_mm, const AxisFitOptions& options) {
  AxisFitOptions at_limit = options;
  at_limit.first_limit_mm = fit.limit_mm;
  at_limit.least_limit_mm = fit.limit_mm;
  at_limit.most_rounds = 2;
  AxisFit trial = fit_axis(simpler, points_mm, at_limit);
  if (trial.cost_mm2 > kAllowedRise_ratio * fit.cost_mm2) return std::nullopt;
  return trial;
}

}  // namespace

AxisFit tidied_fit(AxisFit fit, const Points& points_mm, const AxisFitOptions& options) {
  // Takes the simpler axis when it is one and the points do not mind.
  const auto take = [&](const std::optional<TubeAxis>& simpler) {
    if (!simpler || simpler->num_bends() >= fit.axis.num_bends()) return false;
    const std::optional<AxisFit> trial = accepted(fit, *simpler, points_mm, options);
    if (trial) fit = *trial;
    return trial.has_value();
  };
  for (std::size_t i = 0; i < fit.axis.num_bends();) {
    const bool shallow = fit.axis.rows[i].angle < kShallow;
    if (!shallow || !take(without_bend(fit.axis, i))) ++i;
  }
  for (std::size_t i = 0; i + 1 < fit.axis.num_bends();) {
    const BendRow& second = fit.axis.rows[i + 1];
    const bool alike = second.straight_mm < kNearBends_ratio * fit.axis.radius_mm &&
                       std::abs(second.rotation.rad()) < kSamePlane.rad() &&
                       fit.axis.rows[i].angle + second.angle < Angle::degrees(350);
    if (!alike || !take(with_one_for_two(fit.axis, i))) ++i;
  }
  return fit;
}

bool drop_unproven_bend(AxisFit& fit, const Eigen::MatrixXd& covariance) {
  const std::vector<AxisColumn> columns = columns_of(fit.axis);
  for (std::size_t c = 6; c < columns.size(); ++c) {
    if (columns[c].number != AxisNumber::kAngle) continue;
    const auto i = static_cast<Eigen::Index>(c);
    const double u_rad = std::sqrt(std::max(0.0, covariance(i, i)));
    const Angle angle = fit.axis.rows[columns[c].bend].angle;
    const std::size_t bend = columns[c].bend;
    // Where the tube stops before the bend, nothing shows the bend's angle at all.
    const bool at_end = bend == 0 || bend + 1 == fit.axis.num_bends();
    const bool beyond_end = at_end && angle.rad() < 2.5 * u_rad;
    if (!beyond_end && (angle > kShallow || angle.rad() > 3.0 * u_rad)) continue;
    std::optional<TubeAxis> without = without_bend(fit.axis, columns[c].bend);
    if (!without || without->num_bends() >= fit.axis.num_bends()) continue;
    fit.axis = std::move(*without);
    return true;
  }
  return false;
}

void suggest_shared_radius(TubeFit& fit) {
  if (fit.u.size() < 2) return;
  double weight = 0.0;
  double moment = 0.0;
  for (std::size_t i = 0; i < fit.u.size(); ++i) {
    const double w = 1.0 / std::max(1e-12, fit.u[i].radius_mm * fit.u[i].radius_mm);
    weight += w;
    moment += w * fit.table.rows()[i].radius_mm;
  }
  const double mean_mm = moment / weight;
  for (std::size_t i = 0; i < fit.u.size(); ++i) {
    const double off_mm = std::abs(fit.table.rows()[i].radius_mm - mean_mm);
    // A hundredth of a millimetre is no difference in a bend, however many points say so.
    if (off_mm > 3.0 * fit.u[i].radius_mm + 0.01) return;
  }
  fit.shared_radius_mm = mean_mm;
  fit.shared_radius_u_mm = std::sqrt(1.0 / weight);
}

namespace {

void turn_round(TubeFit& fit) {
  const Centreline line = lay_out(fit.table, fit.start);
  Frame start;
  start.origin_mm = line.end.origin_mm;
  start.ahead = -line.end.ahead;
  start.inward = line.end.inward;
  start.normal = start.ahead.cross(start.inward);
  fit.start = start;
  fit.table = fit.table.reversed();
  const std::size_t num = fit.u.size();
  std::vector<RowUncertainty> u(num);
  for (std::size_t i = 0; i < num; ++i) {
    u[i] = fit.u[num - 1 - i];
    u[i].straight_mm = i == 0 ? fit.last_straight_u_mm : fit.u[num - i].straight_mm;
    u[i].rotation = i == 0 ? Angle() : fit.u[num - i].rotation;
  }
  if (num > 0) fit.last_straight_u_mm = fit.u.front().straight_mm;
  fit.u = std::move(u);
  for (std::size_t& bend : fit.hidden_bends) bend = num - 1 - bend;
  std::reverse(fit.hidden_bends.begin(), fit.hidden_bends.end());
}

// +1 when the table as it stands begins at end A, -1 when its reverse does, 0 when both read alike.
int first_end(const BendTable& table) {
  const BendTable back = table.reversed();
  const auto longer = [](double a_mm, double b_mm) {
    return std::abs(a_mm - b_mm) <= 1.0 ? 0 : (a_mm > b_mm ? 1 : -1);
  };
  for (std::size_t i = 0; i <= table.num_bends(); ++i) {
    if (const int by = longer(table.straight_mm(i), back.straight_mm(i)); by != 0) return by;
    if (i == table.num_bends()) break;
    const Angle a = table.rows()[i].angle;
    const Angle b = back.rows()[i].angle;
    if (std::abs((a - b).rad()) > Angle::degrees(0.5).rad()) return a > b ? 1 : -1;
  }
  return 0;
}

}  // namespace

void order_ends(TubeFit& fit, bool swap) {
  int first = first_end(fit.table);
  fit.ends_alike = first == 0;
  if (first == 0) {
    const Centreline line = lay_out(fit.table, fit.start);
    first = line.start_mm().norm() <= line.end_mm().norm() ? 1 : -1;
  }
  fit.swapped = swap;
  if ((first < 0) != swap) turn_round(fit);
}

}  // namespace bight::geometry

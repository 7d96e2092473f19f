#include "reader/skin.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

namespace bight::reader {

using base::Angle;
using geometry::BendRow;
using geometry::BendTable;
using geometry::Frame;

namespace {

// Everything the fit may move, as one vector and back.
struct Model {
  BendTable table;
  Frame start;
  std::vector<Outline> outlines;
};

// Layout: shift across (2), tilt (3), outlines (k), then straight, rotation, angle, radius per
// bend. The first straight and the first rotation are the start's own business.
constexpr Eigen::Index kPose = 5;

std::optional<Model> moved(const Model& from, const Eigen::VectorXd& step) {
  Model to = from;
  to.start.origin_mm += from.start.inward * step[0] + from.start.normal * step[1];
  const Vec3 turn(step[2], step[3], step[4]);
  if (turn.norm() > 0.0) {
    const Vec3 axis = turn.normalized();
    const Angle angle = Angle::radians(turn.norm());
    to.start.ahead = geometry::turned(from.start.ahead, axis, angle).normalized();
    to.start.inward = geometry::turned(from.start.inward, axis, angle);
    to.start.normal = to.start.ahead.cross(to.start.inward).normalized();
    to.start.inward = to.start.normal.cross(to.start.ahead);
  }
  Eigen::Index at = kPose;
  for (Outline& outline : to.outlines) outline.corner_mm += step[at++];
  std::vector<BendRow> rows = from.table.rows();
  for (std::size_t i = 0; i < rows.size(); ++i) {
    rows[i].straight_mm += step[at];
    if (i > 0) rows[i].rotation = rows[i].rotation + Angle::radians(step[at + 1]);
    rows[i].angle = rows[i].angle + Angle::radians(step[at + 2]);
    rows[i].radius_mm += step[at + 3];
    at += 4;
  }
  auto table = BendTable::make(rows, from.table.last_straight_mm());
  if (!table.ok() || table->num_bends() != rows.size()) return std::nullopt;
  to.table = *table;
  return to;
}

Eigen::VectorXd residuals_mm(const Model& model, const std::vector<SkinPoint>& points) {
  const geometry::Centreline line = geometry::lay_out(model.table, model.start);
  const std::vector<Angle> turns = frame_turns(model.table);
  Eigen::VectorXd r(static_cast<Eigen::Index>(points.size()));
  for (std::size_t i = 0; i < points.size(); ++i) {
    const SkinPoint& point = points[i];
    r[static_cast<Eigen::Index>(i)] =
        distance_mm(seen_from(line.segments[point.segment], point.point_mm),
                    model.outlines[point.outline], turns[point.segment]);
  }
  return r;
}

Deviation deviation_of(const Eigen::VectorXd& r) {
  if (r.size() == 0) return {};
  return {r.cwiseAbs().maxCoeff(), std::sqrt(r.squaredNorm() / static_cast<double>(r.size()))};
}

// Steps for the numeric Jacobian and the weight that keeps unseen directions in place.
Eigen::VectorXd steps_of(const Model& model) {
  const auto num_bends = static_cast<Eigen::Index>(model.table.num_bends());
  const auto num_outlines = static_cast<Eigen::Index>(model.outlines.size());
  Eigen::VectorXd steps = Eigen::VectorXd::Constant(kPose + num_outlines + 4 * num_bends, 1e-4);
  steps.segment(2, 3).setConstant(1e-6);
  for (Eigen::Index i = 0; i < num_bends; ++i) {
    steps[kPose + num_outlines + 4 * i + 1] = 1e-6;
    steps[kPose + num_outlines + 4 * i + 2] = 1e-6;
  }
  return steps;
}

}  // namespace

Seen seen_from(const geometry::Segment& segment, const Vec3& p) {
  const Frame& frame = segment.start;
  if (!segment.is_arc()) {
    const Vec3 v = p - frame.origin_mm;
    return {v.dot(frame.ahead), v.dot(frame.inward), v.dot(frame.normal)};
  }
  const Vec3 v = p - segment.centre_mm();
  const double ahead = v.dot(frame.ahead);
  const double outward = -v.dot(frame.inward);
  // The branch of the angle nearest to the middle of the arc.
  const double half = 0.5 * segment.angle.rad();
  const double turned_rad =
      half + Angle::radians(std::atan2(ahead, outward) - half).wrapped().rad();
  return {turned_rad * segment.radius_mm, segment.radius_mm - std::hypot(ahead, outward),
          v.dot(frame.normal)};
}

double distance_mm(const Seen& seen, const Outline& outline, Angle turn) {
  if (outline.half_height_mm == 0.0 && outline.half_width_mm == 0.0) {
    return std::hypot(seen.inward_mm, seen.normal_mm) - outline.corner_mm;
  }
  const double c = base::cos(turn);
  const double s = base::sin(turn);
  const double y_mm = std::abs(c * seen.inward_mm - s * seen.normal_mm) - outline.half_height_mm;
  const double z_mm = std::abs(s * seen.inward_mm + c * seen.normal_mm) - outline.half_width_mm;
  const double outside_mm = std::hypot(std::max(y_mm, 0.0), std::max(z_mm, 0.0));
  return outside_mm + std::min(std::max(y_mm, z_mm), 0.0) - outline.corner_mm;
}

std::vector<Angle> frame_turns(const BendTable& table) {
  std::vector<Angle> turns{Angle()};
  for (const BendRow& row : table.rows()) {
    const Angle turn = turns.back() + row.rotation;
    turns.push_back(turn);
    turns.push_back(turn);
  }
  return turns;
}

Deviation deviation(const BendTable& table, const Frame& start,
                    const std::vector<Outline>& outlines, const std::vector<SkinPoint>& points) {
  return deviation_of(residuals_mm({table, start, outlines}, points));
}

Fitted refit(const BendTable& table, const Frame& start, const std::vector<Outline>& outlines,
             const std::vector<SkinPoint>& points) {
  Model model{table, start, outlines};
  Eigen::VectorXd r = residuals_mm(model, points);
  for (int iteration = 0; iteration < 8; ++iteration) {
    const Eigen::VectorXd steps = steps_of(model);
    Eigen::MatrixXd jacobian(r.size(), steps.size());
    bool valid = true;
    for (Eigen::Index k = 0; k < steps.size() && valid; ++k) {
      Eigen::VectorXd step = Eigen::VectorXd::Zero(steps.size());
      step[k] = steps[k];
      const auto up = moved(model, step);
      const auto down = moved(model, -step);
      valid = up && down;
      if (!valid) break;
      jacobian.col(k) =
          (residuals_mm(*up, points) - residuals_mm(*down, points)) / (2.0 * steps[k]);
    }
    if (!valid) break;
    Eigen::MatrixXd normal = jacobian.transpose() * jacobian;
    // A weight of a thousandth of one point's own keeps what no point sees where it is.
    normal.diagonal().array() += 1e-6 + 1e-9 * normal.diagonal().array();
    const auto next = moved(model, -normal.ldlt().solve(jacobian.transpose() * r));
    if (!next) break;
    const Eigen::VectorXd next_r = residuals_mm(*next, points);
    if (!next_r.allFinite() || next_r.squaredNorm() >= r.squaredNorm()) break;
    const bool done = next_r.squaredNorm() > 0.99 * r.squaredNorm();
    model = *next;
    r = next_r;
    if (done) break;
  }
  return {model.table, model.start, model.outlines, deviation_of(r)};
}

}  // namespace bight::reader

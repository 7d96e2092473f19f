#include "inspection/alignment.h"

#include <Eigen/Geometry>
#include <Eigen/SVD>
#include <cmath>
#include <optional>

namespace bight::inspection {

using base::Failure;
using geometry::Vec3;

namespace {

// Singular values whose sum is below this share of the largest leave a turn open.
constexpr double kLoose_ratio = 1e-9;
// A leg or a bend this small has no direction.
constexpr double kNothing_ratio = 1e-9;

base::Status check_points(const Points& from_mm, const Points& to_mm,
                          const std::vector<double>& weights) {
  if (from_mm.empty() || from_mm.size() != to_mm.size() ||
      (!weights.empty() && weights.size() != from_mm.size())) {
    return Failure{"align.points", "", "the two shapes do not have the same number of points",
                   "give each drawn point its measured one"};
  }
  bool fine = true;
  double sum = weights.empty() ? 1.0 : 0.0;
  for (std::size_t i = 0; i < from_mm.size(); ++i) {
    fine = fine && from_mm[i].allFinite() && to_mm[i].allFinite();
    if (weights.empty()) continue;
    fine = fine && std::isfinite(weights[i]) && weights[i] >= 0.0;
    sum += weights[i];
  }
  if (!fine) {
    return Failure{"align.number", "", "a coordinate is no finite number, or a weight is negative",
                   ""};
  }
  if (!(sum > 0.0)) {
    return Failure{"align.points", "", "all points have weight 0", "some points must count"};
  }
  return base::Done{};
}

double weight_of(const std::vector<double>& weights, std::size_t i) {
  return weights.empty() ? 1.0 : weights[i];
}

void measure(const Points& from_mm, const Points& to_mm, const std::vector<double>& weights,
             Alignment& fit) {
  fit.off_mm.clear();
  double square_mm2 = 0.0;
  double sum = 0.0;
  fit.worst_mm = 0.0;
  for (std::size_t i = 0; i < from_mm.size(); ++i) {
    const double off_mm = (fit.move(from_mm[i]) - to_mm[i]).norm();
    fit.off_mm.push_back(off_mm);
    fit.worst_mm = std::max(fit.worst_mm, off_mm);
    square_mm2 += weight_of(weights, i) * off_mm * off_mm;
    sum += weight_of(weights, i);
  }
  fit.rms_mm = std::sqrt(square_mm2 / sum);
}

struct Middle {
  Vec3 from_mm = Vec3::Zero();
  Vec3 to_mm = Vec3::Zero();
};

Middle middle_of(const Points& from_mm, const Points& to_mm, const std::vector<double>& weights) {
  Middle middle;
  double sum = 0.0;
  for (std::size_t i = 0; i < from_mm.size(); ++i) sum += weight_of(weights, i);
  for (std::size_t i = 0; i < from_mm.size(); ++i) {
    middle.from_mm += weight_of(weights, i) / sum * from_mm[i];
    middle.to_mm += weight_of(weights, i) / sum * to_mm[i];
  }
  return middle;
}

Alignment fitted(const Points& from_mm, const Points& to_mm, const std::vector<double>& weights) {
  const Middle middle = middle_of(from_mm, to_mm, weights);
  Eigen::Matrix3d h = Eigen::Matrix3d::Zero();
  for (std::size_t i = 0; i < from_mm.size(); ++i) {
    h += weight_of(weights, i) * (from_mm[i] - middle.from_mm) *
         (to_mm[i] - middle.to_mm).transpose();
  }
  const Eigen::JacobiSVD<Eigen::Matrix3d> svd(h, Eigen::ComputeFullU | Eigen::ComputeFullV);
  const Eigen::Matrix3d& u = svd.matrixU();
  const Eigen::Matrix3d& v = svd.matrixV();
  const double sign = (v * u.transpose()).determinant() < 0.0 ? -1.0 : 1.0;
  Alignment fit;
  fit.move.turn = v * Vec3(1.0, 1.0, sign).asDiagonal() * u.transpose();
  fit.move.shift_mm = middle.to_mm - fit.move.turn * middle.from_mm;
  const Vec3 s = svd.singularValues();
  fit.turn_loose = !(s(1) + sign * s(2) > kLoose_ratio * s(0));
  measure(from_mm, to_mm, weights, fit);
  return fit;
}

// Origin, first leg and, when a bend turns, the plane it turns in.
std::optional<geometry::Frame> datum_frame(const Points& points_mm, bool with_plane) {
  if (points_mm.size() < 2) return std::nullopt;
  geometry::Frame frame;
  frame.origin_mm = points_mm.front();
  const Vec3 leg_mm = points_mm[1] - points_mm[0];
  const double scale_mm = (points_mm.back() - points_mm.front()).norm() + leg_mm.norm();
  if (!(leg_mm.norm() > kNothing_ratio * scale_mm)) return std::nullopt;
  frame.ahead = leg_mm.normalized();
  if (!with_plane) {
    frame.inward = frame.ahead.unitOrthogonal();
    frame.normal = frame.ahead.cross(frame.inward);
    return frame;
  }
  for (std::size_t i = 2; i < points_mm.size(); ++i) {
    const Vec3 side_mm =
        (points_mm[i] - points_mm[0]) - frame.ahead * frame.ahead.dot(points_mm[i] - points_mm[0]);
    if (!(side_mm.norm() > kNothing_ratio * scale_mm)) continue;
    frame.inward = side_mm.normalized();
    frame.normal = frame.ahead.cross(frame.inward);
    return frame;
  }
  return std::nullopt;
}

RigidMove from_frame_to_frame(const geometry::Frame& from, const geometry::Frame& to) {
  Eigen::Matrix3d a;
  a << from.ahead, from.inward, from.normal;
  Eigen::Matrix3d b;
  b << to.ahead, to.inward, to.normal;
  RigidMove move;
  move.turn = b * a.transpose();
  move.shift_mm = to.origin_mm - move.turn * from.origin_mm;
  return move;
}

}  // namespace

RigidMove RigidMove::inverse() const { return {turn.transpose(), -(turn.transpose() * shift_mm)}; }

base::Result<Alignment> best_fit(const Points& from_mm, const Points& to_mm,
                                 const std::vector<double>& weights) {
  BIGHT_TRY(const base::Done done, check_points(from_mm, to_mm, weights));
  static_cast<void>(done);
  return fitted(from_mm, to_mm, weights);
}

base::Result<Alignment> datum_fit(const Points& from_mm, const Points& to_mm, Datum datum) {
  BIGHT_TRY(const base::Done done, check_points(from_mm, to_mm, {}));
  static_cast<void>(done);
  const bool with_plane = datum == Datum::kFirstPlane;
  const std::optional<geometry::Frame> a = datum_frame(from_mm, with_plane);
  const std::optional<geometry::Frame> b = datum_frame(to_mm, with_plane);
  if (!a || !b) {
    return Failure{"align.datum", "",
                   with_plane ? "end A, the first leg and a bend are needed to lay the part down"
                              : "end A and the first leg are needed to lay the part down",
                   "measure end A and the first corners"};
  }
  Alignment fit;
  fit.move = from_frame_to_frame(*a, *b);
  if (!with_plane) {
    // The turn about the leg: tan = sum k.(p x q) / sum p.q of the parts across it.
    const Vec3& k = b->ahead;
    double across_mm2 = 0.0;
    double along_mm2 = 0.0;
    double size_mm2 = 0.0;
    for (std::size_t i = 0; i < from_mm.size(); ++i) {
      const Vec3 p_mm = fit.move(from_mm[i]) - b->origin_mm;
      const Vec3 q_mm = to_mm[i] - b->origin_mm;
      across_mm2 += k.dot(p_mm.cross(q_mm));
      along_mm2 += p_mm.dot(q_mm) - k.dot(p_mm) * k.dot(q_mm);
      size_mm2 += q_mm.squaredNorm();
    }
    fit.turn_loose = !(std::hypot(across_mm2, along_mm2) > kLoose_ratio * size_mm2);
    const Eigen::Matrix3d roll =
        Eigen::AngleAxisd(std::atan2(across_mm2, along_mm2), k).toRotationMatrix();
    fit.move.turn = roll * fit.move.turn;
    fit.move.shift_mm = b->origin_mm - fit.move.turn * a->origin_mm;
  }
  measure(from_mm, to_mm, {}, fit);
  return fit;
}

}  // namespace bight::inspection

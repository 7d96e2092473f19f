#include "geometry/fit_shapes.h"

#include <fmt/format.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/dense.h"
#include "geometry/fit_solver.h"

namespace bight::geometry {

using base::Failure;
using base::Result;

namespace {

// Spread below this share of the largest one is none: rounding of coordinates, not shape.
constexpr double kNoSpread_ratio = 1e-12;

struct Principal {
  Vec3 mean_mm = Vec3::Zero();
  Eigen::Matrix3d axes = Eigen::Matrix3d::Identity();  // columns, least spread first
  Vec3 moment_mm2 = Vec3::Zero();                      // summed squares along them
};

base::Status check_points(const Points& points_mm, std::size_t fewest) {
  if (points_mm.size() < fewest) {
    return Failure{"fit.few", "", fmt::format("{} points do not make the shape", points_mm.size()),
                   fmt::format("at least {} are needed", fewest)};
  }
  for (std::size_t i = 0; i < points_mm.size(); ++i) {
    if (!points_mm[i].allFinite()) {
      return Failure{"fit.number", fmt::format("point {}", i + 1),
                     "a coordinate is not a finite number", "drop the point"};
    }
  }
  return base::Done{};
}

Failure flat(const char* what) {
  return {"fit.flat", "", fmt::format("the points do not span {}", what),
          "more points, further apart, are needed"};
}

Principal principal_axes(const Points& points_mm) {
  Principal p;
  for (const Vec3& x : points_mm) p.mean_mm += x;
  p.mean_mm /= static_cast<double>(points_mm.size());
  Eigen::Matrix3d square = Eigen::Matrix3d::Zero();
  for (const Vec3& x : points_mm) square += (x - p.mean_mm) * (x - p.mean_mm).transpose();
  // The 3 x 3 covariance is enough: its solver is exact to the square root of the precision, which
  // is far below any measured point.
  const Axes3 eigen = symmetric_axes(square);
  p.axes = eigen.vectors;
  p.moment_mm2 = eigen.values.cwiseMax(0.0);
  return p;
}

double rms_of(double sum_mm2, std::size_t num) {
  return std::sqrt(std::max(0.0, sum_mm2) / static_cast<double>(num));
}

// Two unit vectors that make a right-handed frame with the direction.
std::pair<Vec3, Vec3> across(const Vec3& direction) {
  const Vec3 first = direction.unitOrthogonal();
  return {first, direction.cross(first)};
}

struct PlaneCircle {
  double x_mm = 0.0;
  double y_mm = 0.0;
  double radius_mm = 0.0;
  double misfit_mm2 = 0.0;  // summed squared radial residuals
  bool found = false;
};

// Algebraic circle: x^2 + y^2 = 2 a x + 2 b y + c, linear least squares (Kasa 1976).
PlaneCircle algebraic_circle(const std::vector<Eigen::Vector2d>& points_mm) {
  Eigen::Vector2d mean = Eigen::Vector2d::Zero();
  for (const auto& p : points_mm) mean += p;
  mean /= static_cast<double>(points_mm.size());
  Eigen::Matrix2d second = Eigen::Matrix2d::Zero();
  Eigen::Vector2d third = Eigen::Vector2d::Zero();
  double square_mm2 = 0.0;
  for (const auto& p : points_mm) {
    const Eigen::Vector2d d = p - mean;
    second += d * d.transpose();
    third += d * d.squaredNorm();
    square_mm2 += d.squaredNorm();
  }
  PlaneCircle circle;
  if (second.determinant() <= kNoSpread_ratio * square_mm2 * square_mm2) return circle;
  const Eigen::Vector2d centre = 0.5 * second.inverse() * third;
  circle.x_mm = mean.x() + centre.x();
  circle.y_mm = mean.y() + centre.y();
  circle.radius_mm =
      std::sqrt(centre.squaredNorm() + square_mm2 / static_cast<double>(points_mm.size()));
  for (const auto& p : points_mm) {
    const double e = std::hypot(p.x() - circle.x_mm, p.y() - circle.y_mm) - circle.radius_mm;
    circle.misfit_mm2 += e * e;
  }
  circle.found = true;
  return circle;
}

// Directions spread evenly over the half sphere (spiral of the golden angle).
std::vector<Vec3> half_sphere(int num) {
  std::vector<Vec3> out;
  for (int i = 0; i < num; ++i) {
    const double z = (i + 0.5) / num;
    const double turn_rad = i * std::numbers::pi * (3.0 - std::sqrt(5.0));
    const double rho = std::sqrt(1.0 - z * z);
    out.emplace_back(rho * std::cos(turn_rad), rho * std::sin(turn_rad), z);
  }
  return out;
}

CylinderFit best_of_directions(const Points& points_mm, const Principal& principal) {
  std::vector<Vec3> directions = half_sphere(200);
  for (int i = 0; i < 3; ++i) directions.push_back(principal.axes.col(i));
  CylinderFit best;
  double least_mm2 = std::numeric_limits<double>::infinity();
  std::vector<Eigen::Vector2d> flat_mm(points_mm.size());
  for (const Vec3& direction : directions) {
    const auto [e1, e2] = across(direction);
    for (std::size_t i = 0; i < points_mm.size(); ++i) {
      const Vec3 d = points_mm[i] - principal.mean_mm;
      flat_mm[i] = {d.dot(e1), d.dot(e2)};
    }
    const PlaneCircle circle = algebraic_circle(flat_mm);
    if (!circle.found || circle.misfit_mm2 >= least_mm2) continue;
    least_mm2 = circle.misfit_mm2;
    best.point_mm = principal.mean_mm + e1 * circle.x_mm + e2 * circle.y_mm;
    best.direction = direction;
    best.radius_mm = circle.radius_mm;
  }
  return best;
}

}  // namespace

Result<LineFit> fit_line(const Points& points_mm) {
  BIGHT_TRY(const base::Done checked, check_points(points_mm, 2));
  static_cast<void>(checked);
  const Principal p = principal_axes(points_mm);
  if (p.moment_mm2[2] <= 0.0) return flat("a line");
  return LineFit{p.mean_mm, p.axes.col(2),
                 rms_of(p.moment_mm2[0] + p.moment_mm2[1], points_mm.size())};
}

Result<PlaneFit> fit_plane(const Points& points_mm) {
  BIGHT_TRY(const base::Done checked, check_points(points_mm, 3));
  static_cast<void>(checked);
  const Principal p = principal_axes(points_mm);
  if (p.moment_mm2[1] <= kNoSpread_ratio * p.moment_mm2[2]) return flat("a plane");
  return PlaneFit{p.mean_mm, p.axes.col(0), rms_of(p.moment_mm2[0], points_mm.size())};
}

Result<CircleFit> fit_circle(const Points& points_mm) {
  BIGHT_TRY(const PlaneFit plane, fit_plane(points_mm));
  const auto [e1, e2] = across(plane.normal);
  std::vector<Eigen::Vector2d> flat_mm;
  for (const Vec3& p : points_mm) {
    flat_mm.emplace_back((p - plane.point_mm).dot(e1), (p - plane.point_mm).dot(e2));
  }
  const PlaneCircle start = algebraic_circle(flat_mm);
  if (!start.found) return flat("a circle");
  using State = Eigen::Vector3d;  // x, y, radius
  State state(start.x_mm, start.y_mm, start.radius_mm);
  const auto rows = [&](const State& at, const auto& sink) {
    for (const auto& p : flat_mm) {
      const Eigen::Vector2d d = p - at.head<2>();
      const double rho = std::max(d.norm(), 1e-300);
      sink(rho - at[2], State(-d.x() / rho, -d.y() / rho, -1.0));
    }
  };
  const Normal<3> end =
      levenberg<3>(state, rows, [](const State& at, const State& step) { return at + step; }, {});
  return CircleFit{plane.point_mm + e1 * state[0] + e2 * state[1], plane.normal, state[2],
                   std::hypot(rms_of(end.cost_mm2, points_mm.size()), plane.rms_mm)};
}

Result<SphereFit> fit_sphere(const Points& points_mm, const ShapeFitOptions& options) {
  BIGHT_TRY(const base::Done checked, check_points(points_mm, 4));
  static_cast<void>(checked);
  const Principal p = principal_axes(points_mm);
  if (p.moment_mm2[0] <= kNoSpread_ratio * p.moment_mm2[2]) return flat("a sphere");
  Vec3 third = Vec3::Zero();
  for (const Vec3& x : points_mm) third += (x - p.mean_mm) * (x - p.mean_mm).squaredNorm();
  const Vec3 inverse = p.moment_mm2.cwiseInverse();
  const Vec3 along = p.axes.transpose() * third;
  const Vec3 centre = 0.5 * (p.axes * inverse.cwiseProduct(along));
  using State = Eigen::Vector4d;
  const Vec3 middle_mm = p.mean_mm + centre;
  State state(
      middle_mm.x(), middle_mm.y(), middle_mm.z(),
      std::sqrt(centre.squaredNorm() + p.moment_mm2.sum() / static_cast<double>(points_mm.size())));
  const auto rows = [&](const State& at, const auto& sink) {
    for (const Vec3& x : points_mm) {
      const Vec3 d = x - at.head<3>();
      const double rho = std::max(d.norm(), 1e-300);
      sink(rho - at[3], State(-d.x() / rho, -d.y() / rho, -d.z() / rho, -1.0));
    }
  };
  const Normal<4> end = levenberg<4>(
      state, rows, [](const State& at, const State& step) { return State(at + step); },
      Loss{options.loss_limit_mm});
  return SphereFit{state.head<3>(), state[3], rms_of(end.cost_mm2, points_mm.size())};
}

double distance_mm(const CylinderFit& cylinder, const Vec3& p_mm) {
  const Vec3 d = p_mm - cylinder.point_mm;
  return (d - cylinder.direction * d.dot(cylinder.direction)).norm() - cylinder.radius_mm;
}

Result<CylinderFit> fit_cylinder(const Points& points_mm, const std::optional<CylinderFit>& start,
                                 const ShapeFitOptions& options) {
  BIGHT_TRY(const base::Done checked,
            check_points(points_mm, options.fixed_radius_mm.has_value() ? 4 : 5));
  static_cast<void>(checked);
  const Principal principal = principal_axes(points_mm);
  if (principal.moment_mm2[1] <= kNoSpread_ratio * principal.moment_mm2[2]) {
    return flat("a cylinder");
  }
  CylinderFit state = start.value_or(CylinderFit{});
  if (!start) state = best_of_directions(points_mm, principal);
  if (state.radius_mm <= 0.0) return flat("a cylinder");
  state.point_mm += state.direction * (principal.mean_mm - state.point_mm).dot(state.direction);
  const bool held = options.fixed_radius_mm.has_value();
  if (held) state.radius_mm = *options.fixed_radius_mm;
  using Row = Eigen::Matrix<double, 5, 1>;  // two shifts, two tilts, radius
  const auto rows = [&](const CylinderFit& at, const auto& sink) {
    const auto [e1, e2] = across(at.direction);
    for (const Vec3& p : points_mm) {
      const Vec3 d = p - at.point_mm;
      const double along = d.dot(at.direction);
      const Vec3 out = d - at.direction * along;
      const double rho = std::max(out.norm(), 1e-300);
      const double c1 = -out.dot(e1) / rho;
      const double c2 = -out.dot(e2) / rho;
      sink(rho - at.radius_mm, Row(c1, c2, along * c1, along * c2, held ? 0.0 : -1.0));
    }
  };
  const auto moved = [](const CylinderFit& at, const Row& step) {
    const auto [e1, e2] = across(at.direction);
    CylinderFit next = at;
    next.point_mm += e1 * step[0] + e2 * step[1];
    next.direction = (at.direction + e1 * step[2] + e2 * step[3]).normalized();
    next.radius_mm += step[4];
    return next;
  };
  Normal<5> end = levenberg<5>(state, rows, moved, Loss{options.loss_limit_mm});
  state.rms_mm = rms_of(end.cost_mm2, points_mm.size());
  const std::size_t unknowns = held ? 4 : 5;
  if (!held && points_mm.size() > unknowns) {
    const double variance_mm2 = end.cost_mm2 / static_cast<double>(points_mm.size() - unknowns);
    state.radius_u_mm = std::sqrt(variance_mm2 * std::max(0.0, inverse(end.a)(4, 4)));
  }
  return state;
}

double distance_mm(const TorusFit& torus, const Vec3& p_mm) {
  const Vec3 d = p_mm - torus.centre_mm;
  const double z = d.dot(torus.axis);
  const double rho = (d - torus.axis * z).norm();
  return std::hypot(rho - torus.ring_radius_mm, z) - torus.tube_radius_mm;
}

Result<TorusFit> fit_torus(const Points& points_mm, const TorusFit& start,
                           const ShapeFitOptions& options) {
  BIGHT_TRY(const base::Done checked, check_points(points_mm, 7));
  static_cast<void>(checked);
  const Principal principal = principal_axes(points_mm);
  if (principal.moment_mm2[0] <= kNoSpread_ratio * principal.moment_mm2[2]) return flat("a torus");
  TorusFit state = start;
  state.axis.normalize();
  const bool held = options.fixed_radius_mm.has_value();
  if (held) state.tube_radius_mm = *options.fixed_radius_mm;
  using Row = Eigen::Matrix<double, 7, 1>;  // centre, two tilts, ring radius, tube radius
  const auto rows = [&](const TorusFit& at, const auto& sink) {
    const auto [e1, e2] = across(at.axis);
    for (const Vec3& p : points_mm) {
      const Vec3 d = p - at.centre_mm;
      const double z = d.dot(at.axis);
      const Vec3 in_plane = d - at.axis * z;
      const double rho = std::max(in_plane.norm(), 1e-300);
      const Vec3 spoke = in_plane / rho;
      const Vec3 foot = spoke * at.ring_radius_mm;  // from the centre to the nearest axis point
      const Vec3 out = d - foot;
      const double distance = std::max(out.norm(), 1e-300);
      const Vec3 dhat = out / distance;
      // A tilt of the axis moves the foot by (e x foot).
      const Row row(-dhat.x(), -dhat.y(), -dhat.z(), -dhat.dot(e1.cross(foot)),
                    -dhat.dot(e2.cross(foot)), -dhat.dot(spoke), held ? 0.0 : -1.0);
      sink(distance - at.tube_radius_mm, row);
    }
  };
  const auto moved = [](const TorusFit& at, const Row& step) {
    const auto [e1, e2] = across(at.axis);
    TorusFit next = at;
    next.centre_mm += step.head<3>();
    next.axis = (at.axis + (e1 * step[3] + e2 * step[4]).cross(at.axis)).normalized();
    next.ring_radius_mm += step[5];
    next.tube_radius_mm += step[6];
    return next;
  };
  const Normal<7> end = levenberg<7>(state, rows, moved, Loss{options.loss_limit_mm});
  state.rms_mm = rms_of(end.cost_mm2, points_mm.size());
  return state;
}

}  // namespace bight::geometry

#include "reader/fit.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <functional>

namespace bight::reader {

namespace {

constexpr std::size_t kFewestSamples = 12;

// Samples that have a normal.
std::vector<Sample> usable(const ScanFace& face) {
  std::vector<Sample> samples;
  for (const Sample& sample : face.grid) {
    if (sample.normal.squaredNorm() > 0.5 && sample.point_mm.allFinite()) samples.push_back(sample);
  }
  return samples;
}

Vec3 mean_point(const std::vector<Vec3>& points_mm) {
  Vec3 sum = Vec3::Zero();
  for (const Vec3& p : points_mm) sum += p;
  return sum / static_cast<double>(points_mm.size());
}

// Gauss-Newton with a numeric Jacobian and a little damping, for the handful of parameters of a
// cylinder or torus. Returns the largest residual at the end.
using Residuals = std::function<Eigen::VectorXd(const Eigen::VectorXd&)>;
double refine(const Residuals& residuals_mm, Eigen::VectorXd& x) {
  Eigen::VectorXd r = residuals_mm(x);
  for (int iteration = 0; iteration < 12; ++iteration) {
    Eigen::MatrixXd jacobian(r.size(), x.size());
    for (Eigen::Index k = 0; k < x.size(); ++k) {
      const double step = 1e-6 * std::max(1.0, std::abs(x[k]));
      Eigen::VectorXd up = x;
      Eigen::VectorXd down = x;
      up[k] += step;
      down[k] -= step;
      jacobian.col(k) = (residuals_mm(up) - residuals_mm(down)) / (2.0 * step);
    }
    Eigen::MatrixXd normal = jacobian.transpose() * jacobian;
    normal.diagonal().array() += 1e-12 * normal.diagonal().maxCoeff();
    const Eigen::VectorXd next = x - normal.ldlt().solve(jacobian.transpose() * r);
    const Eigen::VectorXd next_r = residuals_mm(next);
    if (!next_r.allFinite() || next_r.squaredNorm() >= r.squaredNorm()) break;
    const bool done = next_r.squaredNorm() > 0.999 * r.squaredNorm();
    x = next;
    r = next_r;
    if (done) break;
  }
  return r.cwiseAbs().maxCoeff();
}

bool fit_plane(const std::vector<Sample>& samples, ScanFace& face) {
  Vec3 normal = Vec3::Zero();
  for (const Sample& sample : samples) normal += sample.normal;
  if (normal.norm() < 0.5 * static_cast<double>(samples.size())) return false;
  normal.normalize();
  for (const Sample& sample : samples) {
    const double off_mm = (sample.point_mm - samples.front().point_mm).dot(normal);
    if (std::abs(off_mm) > 0.1 * kFitTolerance_mm) return false;
    if (sample.normal.cross(normal).norm() > 1e-4) return false;
  }
  face.kind = SurfaceKind::kPlane;
  face.origin_mm = samples.front().point_mm;
  face.axis = normal;
  return true;
}

// Start: normals are square to the axis; p = c + r n across it is linear in c and r.
bool fit_cylinder(const std::vector<Sample>& samples, ScanFace& face) {
  Eigen::Matrix3d spread = Eigen::Matrix3d::Zero();
  for (const Sample& sample : samples) spread += sample.normal * sample.normal.transpose();
  spread /= static_cast<double>(samples.size());
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d> eigen(spread);
  if (eigen.eigenvalues()[0] > 1e-4 || eigen.eigenvalues()[1] < 1e-4) return false;
  const Vec3 axis = eigen.eigenvectors().col(0).normalized();
  const Vec3 across = any_perpendicular(axis);
  const Vec3 other = axis.cross(across);
  const auto count = static_cast<Eigen::Index>(samples.size());
  Eigen::MatrixXd matrix(2 * count, 3);
  Eigen::VectorXd right(2 * count);
  for (Eigen::Index i = 0; i < count; ++i) {
    const Sample& sample = samples[static_cast<std::size_t>(i)];
    matrix.row(2 * i) << 1.0, 0.0, sample.normal.dot(across);
    matrix.row(2 * i + 1) << 0.0, 1.0, sample.normal.dot(other);
    right[2 * i] = sample.point_mm.dot(across);
    right[2 * i + 1] = sample.point_mm.dot(other);
  }
  const Eigen::Vector3d start = matrix.colPivHouseholderQr().solve(right);
  const Vec3 origin = across * start[0] + other * start[1] + axis * samples[0].point_mm.dot(axis);
  // Tilt of the axis, shift of the origin, radius.
  Eigen::VectorXd x = Eigen::VectorXd::Zero(5);
  x[4] = std::abs(start[2]);
  if (x[4] < 1e-3 || x[4] > 1e5) return false;
  const auto unpack = [&](const Eigen::VectorXd& y) {
    return std::pair<Vec3, Vec3>{origin + across * y[0] + other * y[1],
                                 (axis + across * y[2] + other * y[3]).normalized()};
  };
  const double worst_mm = refine(
      [&](const Eigen::VectorXd& y) {
        const auto [p, d] = unpack(y);
        Eigen::VectorXd r(count);
        for (Eigen::Index i = 0; i < count; ++i) {
          r[i] = (samples[static_cast<std::size_t>(i)].point_mm - p).cross(d).norm() - y[4];
        }
        return r;
      },
      x);
  if (worst_mm > kFitTolerance_mm) return false;
  std::tie(face.origin_mm, face.axis) = unpack(x);
  face.radius_mm = x[4];
  face.kind = SurfaceKind::kCylinder;
  return true;
}

}  // namespace

Vec3 any_perpendicular(const Vec3& axis) {
  Eigen::Index least = 0;
  axis.cwiseAbs().minCoeff(&least);
  return axis.cross(Vec3::Unit(least)).normalized();
}

std::optional<Spine> spine_along(const ScanFace& face, bool lines_are_rows) {
  const std::size_t num_lines = lines_are_rows ? face.rows : face.columns;
  const std::size_t per_line = lines_are_rows ? face.columns : face.rows;
  Spine spine;
  double least_mm = 1e300;
  double most_mm = -1e300;
  for (std::size_t line = 0; line < num_lines; ++line) {
    std::vector<Vec3> points;
    std::vector<Vec3> normals;
    for (std::size_t i = 0; i < per_line; ++i) {
      const Sample& sample = lines_are_rows ? face.at(i, line) : face.at(line, i);
      if (sample.normal.squaredNorm() < 0.5) continue;
      points.push_back(sample.point_mm);
      normals.push_back(sample.normal);
    }
    if (points.size() < 4) return std::nullopt;
    const Vec3 p_mean = mean_point(points);
    const Vec3 n_mean = mean_point(normals);
    double cross = 0.0;
    double square = 0.0;
    for (std::size_t i = 0; i < points.size(); ++i) {
      cross += (points[i] - p_mean).dot(normals[i] - n_mean);
      square += (normals[i] - n_mean).squaredNorm();
    }
    if (square < 1e-6) return std::nullopt;
    const double r = cross / square;
    const Vec3 centre = p_mean - r * n_mean;
    for (std::size_t i = 0; i < points.size(); ++i) {
      if ((points[i] - r * normals[i] - centre).norm() > 5.0 * kFitTolerance_mm) {
        return std::nullopt;
      }
    }
    least_mm = std::min(least_mm, r);
    most_mm = std::max(most_mm, r);
    spine.points_mm.push_back(centre);
    spine.radius_mm += r / static_cast<double>(num_lines);
  }
  spine.radius_spread_mm = most_mm - least_mm;
  return spine;
}

namespace {

bool fit_torus(const std::vector<Sample>& samples, ScanFace& face) {
  std::optional<Spine> spine = spine_along(face, true);
  const std::optional<Spine> other = spine_along(face, false);
  // Round both ways of a torus p - r n stands still, but only round the tube is r constant.
  if (!spine || (other && other->radius_spread_mm < spine->radius_spread_mm)) spine = other;
  if (!spine || spine->radius_spread_mm > 5.0 * kFitTolerance_mm) return false;
  const std::optional<Circle> circle = fit_circle(spine->points_mm);
  if (!circle || circle->residual_mm > 5.0 * kFitTolerance_mm) return false;
  const Vec3 across = any_perpendicular(circle->axis);
  const Vec3 third = circle->axis.cross(across);
  Eigen::VectorXd x(7);  // shift of the centre, tilt of the axis, two radii
  x << 0, 0, 0, 0, 0, circle->radius_mm, std::abs(spine->radius_mm);
  if (x[6] < 1e-3 || x[5] > 1e6) return false;
  const auto count = static_cast<Eigen::Index>(samples.size());
  const auto unpack = [&](const Eigen::VectorXd& y) {
    return std::pair<Vec3, Vec3>{circle->centre_mm + Vec3(y[0], y[1], y[2]),
                                 (circle->axis + across * y[3] + third * y[4]).normalized()};
  };
  const double worst_mm = refine(
      [&](const Eigen::VectorXd& y) {
        const auto [centre, axis] = unpack(y);
        Eigen::VectorXd r(count);
        for (Eigen::Index i = 0; i < count; ++i) {
          const Vec3 v = samples[static_cast<std::size_t>(i)].point_mm - centre;
          const double up = v.dot(axis);
          r[i] = std::hypot((v - up * axis).norm() - y[5], up) - y[6];
        }
        return r;
      },
      x);
  if (worst_mm > kFitTolerance_mm) return false;
  std::tie(face.origin_mm, face.axis) = unpack(x);
  face.radius_mm = x[5];
  face.minor_mm = x[6];
  face.kind = SurfaceKind::kTorus;
  return true;
}

}  // namespace

std::optional<Circle> fit_circle(const std::vector<Vec3>& points_mm) {
  if (points_mm.size() < 3) return std::nullopt;
  const Vec3 middle = mean_point(points_mm);
  Eigen::Matrix3d spread = Eigen::Matrix3d::Zero();
  for (const Vec3& p : points_mm) spread += (p - middle) * (p - middle).transpose();
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d> eigen(spread);
  if (eigen.eigenvalues()[1] <= 1e-13 * eigen.eigenvalues()[2]) return std::nullopt;
  const Vec3 axis = eigen.eigenvectors().col(0).normalized();
  const Vec3 e1 = eigen.eigenvectors().col(2).normalized();
  const Vec3 e2 = axis.cross(e1);
  // x² + y² = 2 a x + 2 b y + c
  const auto count = static_cast<Eigen::Index>(points_mm.size());
  Eigen::MatrixXd matrix(count, 3);
  Eigen::VectorXd right(count);
  for (Eigen::Index i = 0; i < count; ++i) {
    const Vec3 v = points_mm[static_cast<std::size_t>(i)] - middle;
    const double x = v.dot(e1);
    const double y = v.dot(e2);
    matrix.row(i) << 2.0 * x, 2.0 * y, 1.0;
    right[i] = x * x + y * y;
  }
  const Eigen::Vector3d abc = matrix.colPivHouseholderQr().solve(right);
  const double square = abc[2] + abc[0] * abc[0] + abc[1] * abc[1];
  if (!(square > 0.0)) return std::nullopt;
  Circle circle{middle + e1 * abc[0] + e2 * abc[1], axis, std::sqrt(square), 0.0};
  if (!(circle.radius_mm < 1e6)) return std::nullopt;
  for (const Vec3& p : points_mm) {
    const Vec3 v = p - circle.centre_mm;
    const double up = v.dot(axis);
    circle.residual_mm =
        std::max(circle.residual_mm, std::hypot((v - up * axis).norm() - circle.radius_mm, up));
  }
  return circle;
}

bool recognise_cylinder(ScanFace& face) {
  const std::vector<Sample> samples = usable(face);
  face.fitted = samples.size() >= kFewestSamples && fit_cylinder(samples, face);
  return face.fitted;
}

bool recognise_torus(ScanFace& face) {
  const std::vector<Sample> samples = usable(face);
  face.fitted = samples.size() >= kFewestSamples && fit_torus(samples, face);
  return face.fitted;
}

void recognise_free_faces(Scan& scan) {
  for (ScanFace& face : scan.faces) {
    if (face.kind != SurfaceKind::kFree) continue;
    const std::vector<Sample> samples = usable(face);
    if (samples.size() < kFewestSamples) continue;
    face.fitted =
        fit_plane(samples, face) || fit_cylinder(samples, face) || fit_torus(samples, face);
  }
}

}  // namespace bight::reader

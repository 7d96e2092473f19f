#include "geometry/fit_girth.h"

#include <fmt/format.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "geometry/dense.h"
#include "geometry/fit_solver.h"

namespace bight::geometry {

using base::Failure;

namespace {

constexpr std::size_t kFewestPoints = 60;
constexpr double kPatchShare_ratio = 0.15;
constexpr std::size_t kMostPatches = 6;
// cos 12° and 24°. A flat patch with scanner noise keeps its normals within the first; along a tube
// as many points lie between the two as within the first, so that a strip of it is told apart.
constexpr double kSameNormal_ratio = 0.978;
constexpr double kNearNormal_ratio = 0.914;

double patch_tolerance_mm(const Surface& surface) {
  return std::max(3.5 * surface.noise_mm, 0.1 * surface.spacing_mm);
}

Vec3 spreads_mm(const Points& points_mm) {
  Vec3 mean = Vec3::Zero();
  for (const Vec3& p : points_mm) mean += p;
  mean /= static_cast<double>(points_mm.size());
  Eigen::Matrix3d square = Eigen::Matrix3d::Zero();
  for (const Vec3& p : points_mm) square += (p - mean) * (p - mean).transpose();
  const Axes3 eigen = symmetric_axes(square / static_cast<double>(points_mm.size()));
  return eigen.values.cwiseMax(0.0).cwiseSqrt();
}

// The plane through one point square to its normal that most points of the kept ones lie in.
std::vector<std::size_t> best_plane(const Surface& surface, const std::vector<std::size_t>& kept,
                                    double tolerance_mm, Shuffler& shuffler) {
  // Counting on every k-th point is enough to rank the trials.
  const std::size_t stride = std::max<std::size_t>(1, kept.size() / 4000);
  std::size_t most = 0;
  std::size_t best = 0;
  for (int trial = 0; trial < 150; ++trial) {
    const std::size_t at = kept[shuffler.index(kept.size())];
    const Vec3& n = surface.normals[at];
    const double level_mm = n.dot(surface.points_mm[at]);
    std::size_t count = 0;
    for (std::size_t k = 0; k < kept.size(); k += stride) {
      const std::size_t i = kept[k];
      count += std::abs(n.dot(surface.points_mm[i]) - level_mm) < tolerance_mm &&
               std::abs(n.dot(surface.normals[i])) > kSameNormal_ratio;
    }
    if (count > most) {
      most = count;
      best = at;
    }
  }
  std::vector<std::size_t> inside;
  const Vec3& n = surface.normals[best];
  for (const std::size_t i : kept) {
    if (std::abs(n.dot(surface.points_mm[i] - surface.points_mm[best])) < tolerance_mm &&
        std::abs(n.dot(surface.normals[i])) > kSameNormal_ratio) {
      inside.push_back(i);
    }
  }
  return inside;
}

// The axis that the unsigned normals share.
Vec3 mean_axis(const Surface& surface, const std::vector<std::size_t>& members) {
  Eigen::Matrix3d square = Eigen::Matrix3d::Zero();
  for (const std::size_t i : members) {
    square += surface.normals[i] * surface.normals[i].transpose();
  }
  return symmetric_axes(square).vectors.col(2);
}

// Whether the surface goes on curving away on both sides of the points.
bool is_strip_of_tube(const Surface& surface, const std::vector<std::size_t>& kept,
                      const std::vector<std::size_t>& inside) {
  const Vec3 normal = mean_axis(surface, inside);
  std::size_t beside = 0;
  for (const std::size_t i : kept) {
    const double cosine = std::abs(normal.dot(surface.normals[i]));
    beside += cosine <= kSameNormal_ratio && cosine > kNearNormal_ratio;
  }
  return 2 * beside > inside.size();
}

}  // namespace

std::vector<FlatPatch> flat_patches(const Surface& surface, Shuffler& shuffler) {
  std::vector<FlatPatch> patches;
  const double tolerance_mm = patch_tolerance_mm(surface);
  std::vector<std::size_t> kept(surface.points_mm.size());
  for (std::size_t i = 0; i < kept.size(); ++i) kept[i] = i;
  while (patches.size() < kMostPatches && kept.size() > kFewestPoints) {
    const std::vector<std::size_t> inside = best_plane(surface, kept, tolerance_mm, shuffler);
    const double share = static_cast<double>(inside.size()) / static_cast<double>(kept.size());
    if (share < kPatchShare_ratio || is_strip_of_tube(surface, kept, inside)) break;
    Points flat;
    for (const std::size_t i : inside) flat.push_back(surface.points_mm[i]);
    const base::Result<PlaneFit> plane = fit_plane(flat);
    if (!plane.ok()) break;
    const double all = static_cast<double>(surface.points_mm.size());
    patches.push_back({*plane, tolerance_mm, static_cast<double>(inside.size()) / all});
    std::vector<std::size_t> rest;
    for (const std::size_t i : kept) {
      if (!on_patch({patches.back()}, surface.points_mm[i])) rest.push_back(i);
    }
    kept = std::move(rest);
  }
  return patches;
}

bool on_patch(const std::vector<FlatPatch>& patches, const Vec3& p_mm) {
  return std::any_of(patches.begin(), patches.end(), [&](const FlatPatch& patch) {
    return std::abs(patch.plane.normal.dot(p_mm - patch.plane.point_mm)) < patch.tolerance_mm;
  });
}

base::Status check_is_no_simple_shape(const Surface& surface) {
  const Points& points_mm = surface.points_mm;
  if (points_mm.size() < kFewestPoints) {
    return Failure{"scan.points", "",
                   fmt::format("{} separate points are too few to show a tube", points_mm.size()),
                   fmt::format("a scan has thousands; at least {} are needed", kFewestPoints)};
  }
  const Vec3 spread_mm = spreads_mm(points_mm);
  const double far_mm = std::max(1e-9, 1e-12 * points_mm.front().norm());
  if (spread_mm[2] <= far_mm) {
    return Failure{"scan.one-place", "", "all points lie in one place", "check the export"};
  }
  if (spread_mm[1] <= 1e-3 * spread_mm[2]) {
    return Failure{"scan.line", "", "the points lie along one line: no girth is seen",
                   "scan the tube's surface, not a line along it"};
  }
  if (spread_mm[0] <= 1e-4 * spread_mm[2]) {
    return Failure{"scan.plane", "", "the points lie in one plane: no tube stands out of it",
                   "scan the tube from one side at least, so that a quarter of its girth is seen"};
  }
  const base::Result<SphereFit> sphere = fit_sphere(points_mm);
  if (sphere.ok()) {
    const double tolerance_mm = std::max(4.0 * surface.noise_mm, 1e-3 * sphere->radius_mm);
    std::size_t inside = 0;
    for (const Vec3& p : points_mm) {
      const double rho_mm = (p - sphere->centre_mm).norm();
      inside += std::abs(rho_mm - sphere->radius_mm) < tolerance_mm;
    }
    // Half a ball is spread by 0.29 of its radius; a strip of tube on a huge sphere hardly at all.
    if (inside * 10 > points_mm.size() * 9 && spread_mm[0] > 0.15 * sphere->radius_mm) {
      return Failure{
          "scan.sphere", "",
          fmt::format("the points lie on a sphere of {:.4g} mm radius", sphere->radius_mm),
          "a reference ball may have been exported in place of the tube"};
    }
  }
  return base::Done{};
}

namespace {

constexpr std::array<double, 8> kBallSpacings_ratio = {3, 4.5, 6.5, 9.5, 14, 20, 30, 44};
constexpr std::size_t kPlaces = 120;
constexpr std::size_t kBallPoints = 150;
constexpr int kTrials = 40;
// A bend is no cylinder: over a ball it strays from one by about so much of the ball's radius.
constexpr double kUnevenness_ratio = 0.02;
// Noise curves too: nothing is a tube whose radius is not well above it.
constexpr double kLeastRadius_ratio = 5.0;

struct Vote {
  double radius_mm = 0.0;
  double weight_ratio = 0.0;
};

// The cylinder that two points with normals lie on, if their normals agree to meet.
std::optional<CylinderFit> through_pair(const Vec3& p, const Vec3& n, const Vec3& q,
                                        const Vec3& m) {
  const Vec3 axis = n.cross(m);
  const double sine = axis.norm();
  if (sine < 0.3) return std::nullopt;  // 17°: below that the meeting point is noise
  const Vec3 direction = axis / sine;
  const Vec3 d = q - p;
  // p + s n and q + t m meet when seen along the axis.
  const double s = d.cross(m).dot(direction) / sine;
  const double t = d.cross(n).dot(direction) / sine;
  const double near = std::min(std::abs(s), std::abs(t));
  const double far = std::max(std::abs(s), std::abs(t));
  if (near < 0.7 * far) return std::nullopt;
  CylinderFit cylinder;
  cylinder.direction = direction;
  cylinder.point_mm = 0.5 * (p + n * s + q + m * t);
  cylinder.radius_mm = 0.5 * (near + far);
  return cylinder;
}

struct Ball {
  Points points_mm;
  Points normals;
};

bool agrees(const CylinderFit& cylinder, const Vec3& p, const Vec3& n, double tolerance_mm) {
  const Vec3 d = p - cylinder.point_mm;
  const Vec3 out = d - cylinder.direction * d.dot(cylinder.direction);
  const double rho = out.norm();
  return std::abs(rho - cylinder.radius_mm) < tolerance_mm && std::abs(out.dot(n)) > 0.9 * rho;
}

// Girth over which points were seen, in twelfths of a turn.
int twelfths_seen(const CylinderFit& cylinder, const Points& points_mm) {
  const Vec3 e1 = cylinder.direction.unitOrthogonal();
  const Vec3 e2 = cylinder.direction.cross(e1);
  std::array<bool, 12> seen{};
  for (const Vec3& p : points_mm) {
    const Vec3 d = p - cylinder.point_mm;
    const double turn = std::atan2(d.dot(e2), d.dot(e1)) / (2.0 * std::numbers::pi) + 0.5;
    seen[std::min<std::size_t>(11, static_cast<std::size_t>(turn * 12.0))] = true;
  }
  return static_cast<int>(std::count(seen.begin(), seen.end(), true));
}

// The best cylinder within one ball, refined; absent when there is none that most points share.
std::optional<Vote> vote_of(const Ball& ball, double ball_mm, double noise_mm, Shuffler& shuffler) {
  std::optional<CylinderFit> best;
  std::size_t most = 0;
  const std::size_t num = ball.points_mm.size();
  const double tolerance_mm = 2.5 * noise_mm + kUnevenness_ratio * ball_mm;
  for (int trial = 0; trial < kTrials; ++trial) {
    const std::size_t i = shuffler.index(num);
    const std::size_t j = shuffler.index(num);
    const auto cylinder =
        through_pair(ball.points_mm[i], ball.normals[i], ball.points_mm[j], ball.normals[j]);
    if (!cylinder || cylinder->radius_mm > 2.0 * ball_mm ||
        cylinder->radius_mm < kLeastRadius_ratio * noise_mm) {
      continue;
    }
    std::size_t count = 0;
    for (std::size_t k = 0; k < num; ++k) {
      count += agrees(*cylinder, ball.points_mm[k], ball.normals[k], tolerance_mm);
    }
    if (count > most) {
      most = count;
      best = cylinder;
    }
  }
  if (!best || most * 10 < num * 6) return std::nullopt;
  ShapeFitOptions options;
  options.loss_limit_mm = 2.0 * tolerance_mm;
  const base::Result<CylinderFit> fit = fit_cylinder(ball.points_mm, best, options);
  if (!fit.ok() || fit->radius_mm <= 0.0 || fit->radius_mm > 2.0 * ball_mm) return std::nullopt;
  Points inside;
  for (const Vec3& p : ball.points_mm) {
    if (std::abs(distance_mm(*fit, p)) < options.loss_limit_mm) inside.push_back(p);
  }
  const int seen = twelfths_seen(*fit, inside);
  if (inside.size() * 10 < num * 6 || seen < 2) return std::nullopt;
  // More girth pins the radius; a tight fit speaks for the shape.
  const double looseness = fit->rms_mm / tolerance_mm;
  return Vote{fit->radius_mm, seen * seen / (1.0 + 4.0 * looseness * looseness)};
}

}  // namespace

std::vector<Girth> girths(const Surface& surface, Shuffler& shuffler) {
  const PointTree tree(surface.points_mm);
  std::vector<Vote> votes;
  std::vector<std::size_t> near;
  for (std::size_t place = 0; place < kPlaces; ++place) {
    const Vec3& at = surface.points_mm[shuffler.index(surface.points_mm.size())];
    std::optional<Vote> best;
    for (const double spacings : kBallSpacings_ratio) {
      const double ball_mm = spacings * surface.spacing_mm;
      tree.within(at, ball_mm, near);
      if (near.size() < 12) continue;
      Ball ball;
      for (std::size_t k = 0; k < std::min(near.size(), kBallPoints); ++k) {
        const std::size_t i =
            near.size() <= kBallPoints ? near[k] : near[shuffler.index(near.size())];
        ball.points_mm.push_back(surface.points_mm[i]);
        ball.normals.push_back(surface.normals[i]);
      }
      const std::optional<Vote> vote = vote_of(ball, ball_mm, surface.noise_mm, shuffler);
      if (vote && (!best || vote->weight_ratio > best->weight_ratio)) best = vote;
    }
    if (best) votes.push_back(*best);
  }
  // Peaks of the votes on a logarithmic scale, 6 % to either side.
  std::vector<Girth> found;
  std::sort(votes.begin(), votes.end(),
            [](const Vote& a, const Vote& b) { return a.radius_mm < b.radius_mm; });
  while (!votes.empty() && found.size() < 5) {
    double most = 0.0;
    double peak_mm = 0.0;
    for (const Vote& centre : votes) {
      double weight = 0.0;
      double moment = 0.0;
      for (const Vote& vote : votes) {
        if (std::abs(std::log(vote.radius_mm / centre.radius_mm)) > 0.06) continue;
        weight += vote.weight_ratio;
        moment += vote.weight_ratio * vote.radius_mm;
      }
      if (weight > most) {
        most = weight;
        peak_mm = moment / weight;
      }
    }
    const std::size_t before = votes.size();
    std::erase_if(votes, [&](const Vote& vote) {
      return std::abs(std::log(vote.radius_mm / peak_mm)) < 0.12;
    });
    if (votes.size() == before) break;
    const double places = static_cast<double>(before - votes.size());
    found.push_back({peak_mm, places / static_cast<double>(kPlaces)});
  }
  return found;
}

}  // namespace bight::geometry

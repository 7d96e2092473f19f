#include "geometry/fit_surface.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>

#include "geometry/dense.h"

namespace bight::geometry {

namespace {

std::uint64_t mixed(std::uint64_t z) {
  z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
  z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
  return z ^ (z >> 31);
}

// Open-addressed set of cell keys: counts or collects the first point of each cell.
std::vector<std::size_t> first_of_cells(const Points& points_mm, const Vec3& least_mm,
                                        double edge_mm) {
  std::size_t slots = 64;
  while (slots < 2 * points_mm.size()) slots *= 2;
  std::vector<std::uint64_t> table(slots, ~std::uint64_t{0});
  std::vector<std::size_t> first;
  for (std::size_t i = 0; i < points_mm.size(); ++i) {
    std::uint64_t key = 0;
    for (int axis = 0; axis < 3; ++axis) {
      const double cell = std::floor((points_mm[i][axis] - least_mm[axis]) / edge_mm);
      // 20 bits an axis: the edge is never below a millionth of the box.
      key = (key << 20) | (static_cast<std::uint64_t>(cell) & 0xfffff);
    }
    std::size_t slot = mixed(key) & (slots - 1);
    while (table[slot] != ~std::uint64_t{0} && table[slot] != key) slot = (slot + 1) & (slots - 1);
    if (table[slot] == key) continue;
    table[slot] = key;
    first.push_back(i);
  }
  return first;
}

}  // namespace

LocalPlane local_plane(const Points& points_mm, const std::vector<std::size_t>& near) {
  LocalPlane plane;
  const double num = static_cast<double>(near.size());
  // Sums about the first point: no loss of digits far from the origin, one pass.
  const Vec3 origin_mm = points_mm[near.front()];
  Vec3 sum = Vec3::Zero();
  Eigen::Matrix3d square = Eigen::Matrix3d::Zero();
  for (const std::size_t i : near) {
    const Vec3 d = points_mm[i] - origin_mm;
    sum += d;
    square.noalias() += d * d.transpose();
  }
  const Vec3 mean = sum / num;
  const Axes3 eigen = symmetric_axes_direct(square / num - mean * mean.transpose());
  plane.mean_mm = origin_mm + mean;
  plane.normal = eigen.vectors.col(0);
  plane.variance_mm2 = eigen.values.cwiseMax(0.0);
  return plane;
}

std::uint64_t Shuffler::bits() {
  state_ += 0x9e3779b97f4a7c15ULL;
  return mixed(state_);
}

Points drawn_evenly(const Points& points_mm, std::size_t most, Shuffler& shuffler) {
  if (points_mm.size() <= most) return points_mm;
  // One point out of each of `most` equal runs: spread over the file and over the scan.
  Points drawn;
  drawn.reserve(most);
  const double run = static_cast<double>(points_mm.size()) / static_cast<double>(most);
  for (std::size_t i = 0; i < most; ++i) {
    const double at = (static_cast<double>(i) + shuffler.unit_ratio()) * run;
    drawn.push_back(points_mm[std::min(static_cast<std::size_t>(at), points_mm.size() - 1)]);
  }
  return drawn;
}

Points thinned(const Points& points_mm, std::size_t wanted, double& edge_mm) {
  Eigen::AlignedBox3d box;
  for (const Vec3& p : points_mm) box.extend(p);
  const double size_mm = points_mm.empty() ? 0.0 : box.diagonal().norm();
  edge_mm = size_mm / std::sqrt(static_cast<double>(std::max<std::size_t>(points_mm.size(), 1)));
  if (points_mm.size() <= wanted || size_mm == 0.0) return points_mm;
  // A surface has about 1 / edge^2 cells: a few steps home in.
  edge_mm = size_mm / std::sqrt(static_cast<double>(wanted)) / 4.0;
  std::vector<std::size_t> first;
  for (int i = 0; i < 6; ++i) {
    edge_mm = std::max(edge_mm, size_mm * 1e-6);
    first = first_of_cells(points_mm, box.min(), edge_mm);
    const double excess = static_cast<double>(first.size()) / static_cast<double>(wanted);
    if (excess > 0.8 && excess < 1.25) break;
    const double next_mm = edge_mm * std::sqrt(std::clamp(excess, 0.05, 20.0));
    // The cloud may be too small for the wish: no use in ever finer cells.
    if (excess < 0.8 && first.size() > points_mm.size() * 95 / 100) break;
    edge_mm = next_mm;
  }
  Points kept;
  for (const std::size_t i : first) kept.push_back(points_mm[i]);
  return kept;
}

Points thinned_to(const Points& points_mm, double edge_mm) {
  Eigen::AlignedBox3d box;
  for (const Vec3& p : points_mm) box.extend(p);
  if (points_mm.empty() || !(edge_mm > 0.0)) return points_mm;
  const double least_mm = box.diagonal().norm() * 1e-6;
  Points kept;
  for (const std::size_t i :
       first_of_cells(points_mm, box.min(), std::max({edge_mm, least_mm, 1e-300}))) {
    kept.push_back(points_mm[i]);
  }
  return kept;
}

Surface surface_of(Points points_mm, double spacing_mm, std::size_t num_near) {
  Surface surface{std::move(points_mm), {}, spacing_mm, 0.0};
  const PointTree tree(surface.points_mm);
  std::vector<double> spreads_mm;
  std::vector<std::size_t> near;
  for (const Vec3& p : surface.points_mm) {
    tree.nearest(p, num_near, near);
    const LocalPlane plane = local_plane(surface.points_mm, near);
    surface.normals.push_back(plane.normal);
    spreads_mm.push_back(std::sqrt(plane.variance_mm2[0]));
  }
  if (spreads_mm.empty()) return surface;
  const auto middle = spreads_mm.begin() + static_cast<std::ptrdiff_t>(spreads_mm.size() / 2);
  std::nth_element(spreads_mm.begin(), middle, spreads_mm.end());
  surface.noise_mm = *middle;
  return surface;
}

}  // namespace bight::geometry

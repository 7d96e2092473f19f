#include "clearance/mesh_tree.h"

#include <algorithm>

namespace bight::clearance {

using geometry::Vec3;

namespace {

Vec3 middle_mm(const Triangle& t) { return (t.a_mm + t.b_mm + t.c_mm) / 3.0; }

}  // namespace

MeshTree::MeshTree(const std::vector<Vec3>& points_mm,
                   const std::vector<std::array<std::uint32_t, 3>>& triangles,
                   const Eigen::Isometry3d& pose) {
  triangles_.reserve(triangles.size());
  for (const auto& t : triangles) {
    triangles_.push_back({pose * points_mm[t[0]], pose * points_mm[t[1]], pose * points_mm[t[2]]});
  }
  nodes_.reserve(2 * triangles_.size());
  nodes_.emplace_back();
  build(0, 0, triangles_.size());
}

// Splits at the median along the longest side: depth stays log2 of the number of triangles.
void MeshTree::build(std::size_t node, std::size_t first, std::size_t count) {
  Eigen::AlignedBox3d box;
  Eigen::AlignedBox3d middles;
  for (std::size_t i = first; i < first + count; ++i) {
    const Triangle& t = triangles_[i];
    box.extend(t.a_mm).extend(t.b_mm).extend(t.c_mm);
    middles.extend(middle_mm(t));
  }
  nodes_[node].box.centre_mm = box.center();
  nodes_[node].box.half_mm = 0.5 * box.sizes();
  if (count == 1) {
    nodes_[node].first = static_cast<std::uint32_t>(first);
    nodes_[node].count = static_cast<std::uint32_t>(count);
    return;
  }
  int axis = 0;
  middles.sizes().maxCoeff(&axis);
  const std::size_t half = count / 2;
  const auto begin = triangles_.begin() + static_cast<std::ptrdiff_t>(first);
  std::nth_element(begin, begin + static_cast<std::ptrdiff_t>(half),
                   begin + static_cast<std::ptrdiff_t>(count),
                   [axis](const Triangle& a, const Triangle& b) {
                     return middle_mm(a)[axis] < middle_mm(b)[axis];
                   });
  const std::size_t left = nodes_.size();
  nodes_[node].first = static_cast<std::uint32_t>(left);
  nodes_[node].count = 0;
  nodes_.emplace_back();
  nodes_.emplace_back();
  build(left, first, half);
  build(left + 1, first + half, count - half);
}

}  // namespace bight::clearance

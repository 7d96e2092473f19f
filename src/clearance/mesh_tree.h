// Triangles in a tree of boxes, so that only those nearby are looked at.
#pragma once

#include <Eigen/Geometry>
#include <array>
#include <cstdint>
#include <vector>

#include "clearance/convex.h"

namespace bight::clearance {

// A mesh counts as a skin: what lies wholly inside it is not struck.
class MeshTree {
 public:
  struct Node {
    Box box;              // square to the axes
    std::uint32_t first;  // leaf: into triangles(); else the left child, the right one follows
    std::uint32_t count;  // leaf: 1; else 0
  };

  // Pre: at least one triangle, indices within points.
  MeshTree(const std::vector<geometry::Vec3>& points_mm,
           const std::vector<std::array<std::uint32_t, 3>>& triangles,
           const Eigen::Isometry3d& pose);

  const std::vector<Node>& nodes() const { return nodes_; }  // the first is the root
  const std::vector<Triangle>& triangles() const { return triangles_; }

 private:
  void build(std::size_t node, std::size_t first, std::size_t count);

  std::vector<Node> nodes_;
  std::vector<Triangle> triangles_;
};

}  // namespace bight::clearance

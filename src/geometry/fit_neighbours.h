// Points near a point.
#pragma once

#include <cstddef>
#include <memory>
#include <vector>

#include "geometry/frame.h"

namespace bight::geometry {

// A k-d tree over points that it does not own: they must outlive it and stay as they are.
class PointTree {
 public:
  // @pre all coordinates are finite.
  explicit PointTree(const std::vector<Vec3>& points_mm);
  ~PointTree();
  PointTree(PointTree&&) noexcept;
  PointTree& operator=(PointTree&&) noexcept;

  // Indices of the points within the distance, in no particular but a repeatable order. `found` is
  // emptied first.
  void within(const Vec3& p_mm, double radius_mm, std::vector<std::size_t>& found) const;
  // Indices of the nearest points, nearest first; fewer when there are not as many.
  void nearest(const Vec3& p_mm, std::size_t num, std::vector<std::size_t>& found) const;

 private:
  struct Index;
  std::unique_ptr<Index> index_;
};

}  // namespace bight::geometry

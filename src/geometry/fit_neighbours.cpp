#include "geometry/fit_neighbours.h"

#include <nanoflann.hpp>
#include <utility>

namespace bight::geometry {

namespace {

// How nanoflann reads our points; the names are its own.
struct View {
  const std::vector<Vec3>& points_mm;

  std::size_t kdtree_get_point_count() const { return points_mm.size(); }
  double kdtree_get_pt(std::size_t index, std::size_t axis) const {
    return points_mm[index][static_cast<Eigen::Index>(axis)];
  }
  template <class Box>
  bool kdtree_get_bbox(Box&) const {
    return false;
  }
};

using Tree = nanoflann::KDTreeSingleIndexAdaptor<nanoflann::L2_Simple_Adaptor<double, View>, View,
                                                 3, std::size_t>;

}  // namespace

struct PointTree::Index {
  explicit Index(const std::vector<Vec3>& points_mm)
      : view{points_mm}, tree(3, view, nanoflann::KDTreeSingleIndexAdaptorParams(16)) {}

  View view;
  Tree tree;
};

PointTree::PointTree(const std::vector<Vec3>& points_mm)
    : index_(std::make_unique<Index>(points_mm)) {
  if (!points_mm.empty()) index_->tree.buildIndex();
}
PointTree::~PointTree() = default;
PointTree::PointTree(PointTree&&) noexcept = default;
PointTree& PointTree::operator=(PointTree&&) noexcept = default;

void PointTree::within(const Vec3& p_mm, double radius_mm, std::vector<std::size_t>& found) const {
  found.clear();
  if (index_->view.points_mm.empty()) return;
  std::vector<std::pair<std::size_t, double>> matches;
  nanoflann::SearchParams params;
  params.sorted = false;
  // The library measures squared distances.
  index_->tree.radiusSearch(p_mm.data(), radius_mm * radius_mm, matches, params);
  for (const auto& [index, square] : matches) found.push_back(index);
}

void PointTree::nearest(const Vec3& p_mm, std::size_t num, std::vector<std::size_t>& found) const {
  found.assign(num, 0);
  if (index_->view.points_mm.empty() || num == 0) return found.clear();
  std::vector<double> squares_mm2(num);
  found.resize(index_->tree.knnSearch(p_mm.data(), num, found.data(), squares_mm2.data()));
}

}  // namespace bight::geometry

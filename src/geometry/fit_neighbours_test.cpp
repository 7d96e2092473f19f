#include "geometry/fit_neighbours.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>

namespace bight::geometry {
namespace {

// Ball and nearest neighbours against comparing with every point.
TEST(FitNeighbours, AgreesWithComparingAll) {
  std::mt19937_64 random(1);
  std::normal_distribution<double> normal(0.0, 10.0);
  std::vector<Vec3> points;
  for (int i = 0; i < 500; ++i) points.emplace_back(normal(random), normal(random), normal(random));
  const PointTree tree(points);
  for (int query = 0; query < 50; ++query) {
    const Vec3 p(normal(random), normal(random), normal(random));
    std::vector<std::size_t> order(points.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      return (points[a] - p).norm() < (points[b] - p).norm();
    });
    std::vector<std::size_t> found;
    tree.nearest(p, 7, found);
    EXPECT_EQ(found, std::vector<std::size_t>(order.begin(), order.begin() + 7));
    tree.within(p, 8.0, found);
    std::sort(found.begin(), found.end());
    std::vector<std::size_t> wanted;
    for (std::size_t i = 0; i < points.size(); ++i) {
      if ((points[i] - p).norm() < 8.0) wanted.push_back(i);
    }
    EXPECT_EQ(found, wanted);
  }
}

// An empty tree has no neighbours, a small one only as many as it has.
TEST(FitNeighbours, SmallTrees) {
  const std::vector<Vec3> none;
  const std::vector<Vec3> two{{0, 0, 0}, {1, 0, 0}};
  std::vector<std::size_t> found{9};
  PointTree(none).nearest(Vec3::Zero(), 3, found);
  EXPECT_TRUE(found.empty());
  PointTree(none).within(Vec3::Zero(), 3.0, found);
  EXPECT_TRUE(found.empty());
  PointTree(two).nearest(Vec3(0.9, 0, 0), 5, found);
  EXPECT_EQ(found, (std::vector<std::size_t>{1, 0}));
}

}  // namespace
}  // namespace bight::geometry

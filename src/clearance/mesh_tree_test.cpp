#include "clearance/mesh_tree.h"

#include <gtest/gtest.h>

#include <set>

#include "clearance/sample_bender_test_util.h"

namespace bight::clearance {
namespace {

using geometry::Vec3;
using sample::uniform;

// Every triangle hangs under exactly one leaf, and every box holds all that hangs under it.
TEST(MeshTree, BoxesHoldWhatHangsUnderThem) {
  std::mt19937_64 rng(16);
  for (const int num : {1, 2, 3, 7, 100, 1001}) {
    std::vector<Vec3> points;
    std::vector<std::array<std::uint32_t, 3>> triangles;
    for (int i = 0; i < 3 * num; ++i) {
      points.emplace_back(uniform(rng, -9, 9), uniform(rng, -9, 9), uniform(rng, -9, 9));
    }
    for (std::uint32_t i = 0; i < static_cast<std::uint32_t>(num); ++i) {
      triangles.push_back({3 * i, 3 * i + 1, 3 * i + 2});
    }
    Eigen::Isometry3d pose(Eigen::AngleAxisd(0.5, Vec3::UnitX()));
    pose.translation() = Vec3(100, 0, 0);
    const MeshTree tree(points, triangles, pose);
    ASSERT_EQ(tree.triangles().size(), triangles.size());
    std::set<std::uint32_t> seen;
    const auto walk = [&](const auto& self, std::size_t index) -> Eigen::AlignedBox3d {
      const MeshTree::Node& node = tree.nodes()[index];
      Eigen::AlignedBox3d all;
      if (node.count == 1) {
        EXPECT_TRUE(seen.insert(node.first).second);
        const Triangle& t = tree.triangles()[node.first];
        all.extend(t.a_mm).extend(t.b_mm).extend(t.c_mm);
      } else {
        EXPECT_EQ(node.count, 0u);
        all = self(self, node.first).merged(self(self, node.first + 1));
      }
      EXPECT_LT((bounds_mm(node.box).min() - all.min()).norm(), 1e-9);
      EXPECT_LT((bounds_mm(node.box).max() - all.max()).norm(), 1e-9);
      return all;
    };
    walk(walk, 0);
    EXPECT_EQ(seen.size(), triangles.size());
  }
}

}  // namespace
}  // namespace bight::clearance

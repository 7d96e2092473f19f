#include "exchange/stl_write.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstring>
#include <numbers>

namespace bight::exchange {
namespace {

// The file read by the layout of the format alone: its volume is pi/4 (D^2 - d^2) L, its normals
// are its facets'.
TEST(StlWrite, HoldsTheTube) {
  const auto table =
      *geometry::BendTable::make({{100, base::Angle(), base::Angle::degrees(90), 50}}, 120);
  const auto mesh =
      tube_mesh(table, geometry::Frame(), *stock::Section::round_tube(25, 1.5), {0.005});
  ASSERT_TRUE(mesh.ok());
  const std::string bytes = stl_bytes(*mesh, "Rail");
  ASSERT_GE(bytes.size(), 84u);
  EXPECT_NE(bytes.substr(0, 5), "solid");
  std::uint32_t num = 0;
  std::memcpy(&num, bytes.data() + 80, 4);
  ASSERT_EQ(bytes.size(), 84 + 50u * num);
  EXPECT_EQ(num, mesh->triangles.size());
  double sixfold = 0.0;
  for (std::uint32_t i = 0; i < num; ++i) {
    float v[12];
    std::memcpy(v, bytes.data() + 84 + 50u * i, sizeof v);
    const Eigen::Vector3d a(v[3], v[4], v[5]), b(v[6], v[7], v[8]), c(v[9], v[10], v[11]);
    const auto cross = [](const Eigen::Vector3d& p, const Eigen::Vector3d& q) {
      return Eigen::Vector3d(p.y() * q.z() - p.z() * q.y(), p.z() * q.x() - p.x() * q.z(),
                             p.x() * q.y() - p.y() * q.x());
    };
    sixfold += a.dot(cross(b, c));
    ASSERT_GT(Eigen::Vector3d(v[0], v[1], v[2]).dot(cross(b - a, c - a).normalized()), 0.999);
  }
  const double exact_mm3 =
      std::numbers::pi / 4 * (25.0 * 25.0 - 22.0 * 22.0) * (220 + 50 * std::numbers::pi / 2);
  EXPECT_NEAR(sixfold / 6.0 / exact_mm3, 1.0, 1e-3);
}

}  // namespace
}  // namespace bight::exchange

#include "exchange/cloud.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>

#include "exchange/cloud_bytes_test_util.h"

namespace bight::exchange {
namespace {

const made::Points kFour{{0, 0, 0}, {1.5, 0, 0}, {0, 2.25, 0}, {0, 0, -3}};
const made::Faces kFaces{{0, 1, 2}, {0, 2, 3}};

std::string code(const std::string& bytes) {
  const auto cloud = read_cloud(bytes, "a");
  return cloud.ok() ? "" : cloud.failure().code;
}

// Content decides, whatever the name.
TEST(Cloud, ContentDecides) {
  EXPECT_EQ(read_cloud(made::ply(kFour, {}, made::Ply::kText), "a")->format, "PLY, text");
  EXPECT_EQ(read_cloud(made::ply(kFour, {}, made::Ply::kLittle), "a")->format,
            "PLY, binary little-endian");
  EXPECT_EQ(read_cloud(made::ply(kFour, {}, made::Ply::kBig), "a")->format,
            "PLY, binary big-endian");
  EXPECT_EQ(read_cloud(made::stl_binary(kFour, kFaces), "a")->format, "STL, binary");
  EXPECT_EQ(read_cloud(made::stl_text(kFour, kFaces), "a")->format, "STL, text");
  EXPECT_EQ(read_cloud(made::xyz(kFour), "a")->format, "points as text");
  EXPECT_TRUE(looks_like_ply("ply\nformat"));
  EXPECT_FALSE(looks_like_ply("plywood"));
  EXPECT_TRUE(looks_like_stl_text("solid a\nfacet normal"));
}

// No points at all is said so, in every format.
TEST(Cloud, Empty) {
  EXPECT_EQ(code(""), "cloud.empty");
  EXPECT_EQ(code("# nothing\n"), "cloud.empty");
  EXPECT_EQ(code(made::ply({}, {}, made::Ply::kText)), "cloud.empty");
  EXPECT_EQ(code(made::stl_text({}, {})), "cloud.empty");
  EXPECT_EQ(code(made::stl_binary({}, {})), "cloud.empty");
}

// Points on a mesh lie on it, spread by area: of two squares with areas 1 and 9 one gets a tenth.
TEST(Cloud, SamplesByArea) {
  Cloud mesh;
  mesh.points = {{0, 0, 0}, {1, 0, 0}, {1, 1, 0}, {0, 1, 0},
                 {0, 0, 5}, {3, 0, 5}, {3, 3, 5}, {0, 3, 5}};
  mesh.triangles = {{0, 1, 2}, {0, 2, 3}, {4, 5, 6}, {4, 6, 7}};
  const geometry::Points points = evenly_on(mesh, 1000);
  ASSERT_EQ(points.size(), 1000u);
  int low = 0;
  int quarter = 0;
  for (const auto& p : points) {
    EXPECT_TRUE(p.z() == 0.0 || std::abs(p.z() - 5.0) < 1e-12);
    low += p.z() < 1;
    quarter += p.z() > 1 && p.x() < 1.5 && p.y() < 1.5;
  }
  EXPECT_NEAR(low, 100, 2);
  EXPECT_NEAR(quarter, 225, 45);
  EXPECT_EQ(points, evenly_on(mesh, 1000));
  mesh.triangles.clear();
  EXPECT_TRUE(evenly_on(mesh, 1000).empty());
}

// Files: missing, a folder, and one that is there.
TEST(Cloud, Files) {
  const auto folder = std::filesystem::temp_directory_path();
  EXPECT_EQ(read_cloud_file("no/such.ply").failure().code, "file.missing");
  EXPECT_EQ(read_cloud_file(folder.string()).failure().code, "file.read");
  const std::string path = (folder / "bight_cloud_test.ply").string();
  std::ofstream(path, std::ios::binary) << made::ply(kFour, kFaces, made::Ply::kLittle);
  EXPECT_EQ(read_cloud_file(path)->points.size(), 4u);
  std::filesystem::remove(path);
}

}  // namespace
}  // namespace bight::exchange

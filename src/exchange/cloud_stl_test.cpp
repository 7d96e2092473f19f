#include "exchange/cloud_stl.h"

#include <gtest/gtest.h>

#include "exchange/cloud_bytes_test_util.h"

namespace bight::exchange {
namespace {

const made::Points kFour{{0, 0, 0}, {1.5, 0, 0}, {0, 2.25, 0}, {0, 0, -3}};
const made::Faces kFaces{{0, 1, 2}, {0, 2, 3}, {0, 3, 1}};

std::string code(const std::string& bytes) {
  const auto cloud = read_stl(bytes, "a.stl");
  return cloud.ok() ? "" : cloud.failure().code;
}

// Binary (with a header that begins with "solid") and text give the same points, each once.
TEST(CloudStl, BinaryAndText) {
  for (const std::string& bytes :
       {made::stl_binary(kFour, kFaces), made::stl_text(kFour, kFaces)}) {
    EXPECT_TRUE(looks_like_stl(bytes));
    const auto cloud = read_stl(bytes, "a.stl");
    ASSERT_TRUE(cloud.ok()) << cloud.failure().text();
    EXPECT_EQ(cloud->points, kFour);
    EXPECT_EQ(cloud->triangles, kFaces);
  }
}

// Corners in one place are one point, also over many facets; -0 is 0.
TEST(CloudStl, CornersAreJoined) {
  made::Points grid;
  made::Faces faces;
  for (int i = 0; i < 60; ++i) {
    for (int k = 0; k < 60; ++k) grid.emplace_back(i == 0 ? -0.0 : i, k, 0.5 * i * k);
  }
  for (std::uint32_t i = 0; i + 1 < 60; ++i) {
    for (std::uint32_t k = 0; k + 1 < 60; ++k) {
      faces.push_back({60 * i + k, 60 * i + k + 1, 60 * i + k + 60});
      faces.push_back({60 * i + k + 61, 60 * i + k + 1, 60 * i + k + 60});
    }
  }
  EXPECT_EQ(read_stl(made::stl_binary(grid, faces), "a.stl")->points.size(), 3600u);
  EXPECT_EQ(read_stl(made::stl_text(grid, faces), "a.stl")->points.size(), 3600u);
}

// Cut files, foreign words, corners that are no numbers.
TEST(CloudStl, Refusals) {
  const std::string binary = made::stl_binary(kFour, kFaces);
  for (std::size_t size = 84; size < binary.size(); ++size) {
    EXPECT_EQ(code(binary.substr(0, size)), "cloud.truncated") << size;
  }
  const std::string text = made::stl_text(kFour, kFaces);
  EXPECT_EQ(code(text.substr(0, 90)), "cloud.truncated");
  EXPECT_EQ(code("solid x\nfacet normal 0 0 1\nouter ring\n"), "cloud.stl");
  EXPECT_EQ(code("solid x\nfacet normal 0 0 1\nouter loop\nvertex 1 two 3\n"), "cloud.stl");
  EXPECT_EQ(code("solid x\nfacet normal 0 0 1\nouter loop\nvertex 1 nan 3\nvertex 1 2 3\n"),
            "cloud.number");
  EXPECT_EQ(code("hello"), "cloud.stl");
  EXPECT_EQ(code(std::string(200, '\0') + "x"), "");
  made::Points bad = kFour;
  bad[2][1] = std::nan("");
  EXPECT_EQ(code(made::stl_binary(bad, kFaces)), "cloud.number");
}

}  // namespace
}  // namespace bight::exchange

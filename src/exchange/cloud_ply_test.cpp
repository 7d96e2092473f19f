#include "exchange/cloud_ply.h"

#include <gtest/gtest.h>

#include "exchange/cloud_bytes_test_util.h"

namespace bight::exchange {
namespace {

const made::Points kFour{{0, 0, 0}, {1.5, 0, 0}, {0, 2.25, 0}, {0, 0, -3}};
const made::Faces kFaces{{0, 1, 2}, {0, 2, 3}};

std::string code(const std::string& bytes) {
  const auto cloud = read_ply(bytes, "a.ply");
  return cloud.ok() ? "" : cloud.failure().code;
}

// Text and both byte orders, single and double precision, with a colour and faces.
TEST(CloudPly, AllThreeForms) {
  for (const made::Ply form : {made::Ply::kText, made::Ply::kLittle, made::Ply::kBig}) {
    for (const char* type : {"float", "double"}) {
      const auto cloud = read_ply(made::ply(kFour, kFaces, form, type), "a.ply");
      ASSERT_TRUE(cloud.ok()) << cloud.failure().text();
      EXPECT_EQ(cloud->points, kFour);
      EXPECT_EQ(cloud->triangles, kFaces);
    }
    EXPECT_EQ(read_ply(made::ply(kFour, {}, form), "a.ply")->points, kFour);
  }
}

// Polygons are cut into fans; other elements and properties, lists too, are passed over.
TEST(CloudPly, PolygonsAndStrangers) {
  const std::string text =
      "ply\r\nformat ascii 1.0\r\nobj_info by hand\r\nelement camera 1\r\nproperty float64 f\r\n"
      "element vertex 4\r\nproperty list uchar float weights\r\nproperty int16 z\r\n"
      "property int16 x\r\nproperty int16 y\r\nelement face 1\r\n"
      "property list uint8 uint32 vertex_index\r\nend_header\r\n"
      "0.5\r\n2 9 9 3 1 2\r\n0 0 0 0\r\n1 7 0 4 0\r\n0 0 4 4\r\n4 0 1 2 3\r\n";
  const auto cloud = read_ply(text, "a.ply");
  ASSERT_TRUE(cloud.ok()) << cloud.failure().text();
  EXPECT_EQ(cloud->points[0], geometry::Vec3(1, 2, 3));
  EXPECT_EQ(cloud->triangles, (made::Faces{{0, 1, 2}, {0, 2, 3}}));
}

// Any cut through a file is noticed, in every form.
TEST(CloudPly, EveryCutIsNoticed) {
  for (const made::Ply form : {made::Ply::kLittle, made::Ply::kBig}) {
    const std::string whole = made::ply(kFour, kFaces, form);
    for (std::size_t size = 4; size < whole.size(); ++size) {
      const std::string found = code(whole.substr(0, size));
      EXPECT_TRUE(found == "cloud.truncated" || found == "cloud.ply") << size << " " << found;
    }
  }
  const std::string text = made::ply(kFour, {}, made::Ply::kText);
  EXPECT_EQ(code(text.substr(0, text.size() - 12)), "cloud.truncated");
}

// Headers that cannot be, false counts, foreign corners, numbers that are none.
TEST(CloudPly, Refusals) {
  EXPECT_EQ(code("ply\n"), "cloud.ply");
  EXPECT_EQ(code("ply\nformat ascii 1.0\nend_header\n"), "");
  EXPECT_EQ(code("ply\nformat morse 1.0\nend_header\n"), "cloud.ply");
  EXPECT_EQ(code("ply\nelement vertex 1\nend_header\n"), "cloud.ply");
  EXPECT_EQ(code("ply\nformat ascii 1.0\nelement vertex x\nend_header\n"), "cloud.ply");
  EXPECT_EQ(code("ply\nformat ascii 1.0\nelement vertex 1\nproperty float x\nend_header\n1\n"),
            "cloud.ply");
  EXPECT_EQ(code("ply\nformat ascii 1.0\nelement vertex 99999999999\nproperty float x\nproperty "
                 "float y\nproperty float z\nend_header\n1 2 3\n"),
            "cloud.many");
  EXPECT_EQ(code("ply\nformat ascii 1.0\nelement vertex 1\nproperty float x\nproperty float "
                 "y\nproperty float z\nend_header\n1 nan 3\n"),
            "cloud.number");
  made::Faces beyond{{0, 1, 4}};
  EXPECT_EQ(code(made::ply(kFour, beyond, made::Ply::kLittle)), "cloud.ply");
}

}  // namespace
}  // namespace bight::exchange

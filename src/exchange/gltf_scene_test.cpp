#include "exchange/gltf_scene.h"

#include <gtest/gtest.h>

#include <cstring>

namespace bight::exchange {
namespace {

// The data that a text carries are those of the binary form, and accessors say what they hold.
TEST(GltfScene, TextAndBytesHoldTheSameData) {
  GltfScene scene;
  const std::vector<float> times_s{0.0F, 0.5F, 2.0F};
  const std::vector<float> turns(12, 0.5F);
  EXPECT_EQ(scene.add_times(times_s), 0);
  EXPECT_EQ(scene.add_values(turns, 4), 1);
  EXPECT_EQ(scene.add_vectors({{1000, 0, 0}, {0, -500, 0}}, kMetresPerMillimetre, true), 2);
  EXPECT_EQ(scene.add_triangles({{0, 1, 0}}), 3);
  EXPECT_EQ(scene.accessors[0]["max"][0], 2.0F);
  EXPECT_EQ(scene.accessors[1]["type"], "VEC4");
  EXPECT_EQ(scene.accessors[1]["count"], 3);
  EXPECT_EQ(scene.accessors[2]["min"][1], -0.5F);
  EXPECT_FALSE(scene.views[0].contains("target"));
  const std::string glb = scene.bytes(scene.heading(0));
  std::uint32_t length[5];
  std::memcpy(length, glb.data(), sizeof length);
  EXPECT_EQ(length[2], glb.size());
  float first_s[3];
  std::memcpy(first_s, glb.data() + 28 + length[3], sizeof first_s);
  EXPECT_EQ(first_s[1], 0.5F);
  // Three zero bytes, then the start of 0.5F: "AAAAAAAAAD8A…" by RFC 4648.
  EXPECT_NE(scene.text(scene.heading(0)).find("base64,AAAAAAAAAD8AAABA"), std::string::npos);
}

}  // namespace
}  // namespace bight::exchange

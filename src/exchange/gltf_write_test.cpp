#include "exchange/gltf_write.h"

#include <gtest/gtest.h>

#include <cstring>
#include <nlohmann/json.hpp>

namespace bight::exchange {
namespace {

TubeMesh mesh_of_a_straight() {
  return tube_mesh(*geometry::BendTable::make({}, 500), geometry::Frame(),
                   *stock::Section::round_tube(20, 1))
      .value();
}

// Both forms describe the same scene; the parts of a .glb have the lengths they claim, in fours.
// tests/formats_test.py holds them to the standard's own validator.
TEST(GltfWrite, BothFormsAgree) {
  const TubeMesh mesh = mesh_of_a_straight();
  const GltfPicture picture{"Rail \"1\"", mesh, {{0, 0, 0}, {500, 0, 0}}};
  const std::string glb = glb_bytes(picture);
  std::uint32_t header[5];
  std::memcpy(header, glb.data(), sizeof header);
  EXPECT_EQ(glb.substr(0, 4), "glTF");
  EXPECT_EQ(header[1], 2u);
  EXPECT_EQ(header[2], glb.size());
  EXPECT_EQ(header[3] % 4, 0u);
  EXPECT_EQ(glb.size() % 4, 0u);
  auto inside = nlohmann::json::parse(glb.substr(20, header[3]));
  auto text = nlohmann::json::parse(gltf_text(picture));
  const std::string uri = text["buffers"][0]["uri"];
  EXPECT_EQ(uri.substr(0, 37), "data:application/octet-stream;base64,");
  EXPECT_EQ(uri.size() - 37, (glb.size() - 28 - header[3] + 2) / 3 * 4);
  inside.erase("buffers");
  text.erase("buffers");
  EXPECT_EQ(inside, text);
  EXPECT_EQ(text["nodes"].back()["name"], "Rail \"1\"");
  // 500 mm along the part's X are half a metre.
  EXPECT_FLOAT_EQ(text["accessors"][0]["max"][0].get<float>(), 0.5F);
  EXPECT_FLOAT_EQ(text["accessors"][0]["max"][2].get<float>(), 0.01F);
}

// Without a centreline there is one mesh and no material that nothing uses.
TEST(GltfWrite, LeavesOutTheCentreline) {
  const TubeMesh mesh = mesh_of_a_straight();
  const auto text = nlohmann::json::parse(gltf_text({"", mesh, {}}));
  EXPECT_EQ(text["meshes"].size(), 1u);
  EXPECT_EQ(text["materials"].size(), 1u);
}

}  // namespace
}  // namespace bight::exchange

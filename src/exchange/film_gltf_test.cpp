#include "exchange/film_gltf.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "exchange/part_toml.h"
#include "exchange/shop_toml.h"
#include "planning/planner.h"

namespace bight::exchange {
namespace {

planning::Clearing demo(const std::string& part) {
  const std::string folder = std::string(BIGHT_SOURCE_DIR) + "/examples/fenwater";
  const PartFile file = *read_part_file(folder + "/parts/" + part + ".toml");
  return *planning::clearing(*planning::plan(file.part, *read_shop_folder(folder)));
}

// Times rise, every track has a value for each, bodies that stand still are not animated.
// tests/gltf_test.py holds films to the standard's own validator.
TEST(FilmGltf, TracksBelongToTheirTimes) {
  const planning::Clearing clearing = demo("cleat-hook");
  const auto film = nlohmann::json::parse(*film_gltf(clearing, false));
  const auto& animation = film["animations"][0];
  const auto& accessors = film["accessors"];
  const std::size_t num_times =
      accessors[animation["samplers"][0]["input"].get<std::size_t>()]["count"];
  std::size_t expected = 0;
  for (std::size_t k = 0; k < clearing.steps.size(); ++k) {
    expected += clearance::movement(clearing.setup(k), clearing.tube, clearing.steps[k])->size();
  }
  EXPECT_EQ(num_times, expected);
  for (const auto& sampler : animation["samplers"]) {
    EXPECT_EQ(accessors[sampler["output"].get<std::size_t>()]["count"], num_times);
    EXPECT_EQ(sampler["interpolation"], "STEP");
  }
  bool arm_moves = false;
  for (const auto& channel : animation["channels"]) {
    const auto& node = film["nodes"][channel["target"]["node"].get<std::size_t>()];
    EXPECT_NE(node["name"], "bench");
    arm_moves = arm_moves || node["name"] == "arm";
  }
  EXPECT_TRUE(arm_moves);
  // Nothing is pressed into the floor: a metre below the die's plane it lies.
  for (const auto& node : film["nodes"]) {
    if (node["name"] != "floor") continue;
    const auto& primitive = film["meshes"][node["mesh"].get<std::size_t>()]["primitives"][0];
    const auto& places = accessors[primitive["attributes"]["POSITION"].get<std::size_t>()];
    EXPECT_FLOAT_EQ(places["min"][2].get<float>(), -1.0F);
  }
}

TEST(FilmGltf, BinaryIsTheSameFilm) {
  const planning::Clearing clearing = demo("cleat-hook");
  const std::string glb = *film_gltf(clearing, true);
  EXPECT_EQ(glb.substr(0, 4), "glTF");
  EXPECT_EQ(glb.size() % 4, 0u);
}

}  // namespace
}  // namespace bight::exchange

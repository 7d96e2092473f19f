#include "exchange/gltf_write.h"

#include <cmath>

#include "exchange/gltf_scene.h"

namespace bight::exchange {

using nlohmann::ordered_json;

namespace {

// Numbers of the standard, clause 3.7.
constexpr int kLineStrip = 3;
constexpr int kTriangles = 4;

ordered_json materials() {
  return {{{"name", "metal"},
           {"pbrMetallicRoughness",
            {{"baseColorFactor", {0.62, 0.65, 0.69, 1.0}},
             {"metallicFactor", 0.5},
             {"roughnessFactor", 0.45}}}},
          {{"name", "centreline"},
           {"pbrMetallicRoughness",
            {{"baseColorFactor", {0.8, 0.1, 0.1, 1.0}},
             {"metallicFactor", 0.0},
             {"roughnessFactor", 1.0}}}}};
}

// The document without its buffer.
ordered_json document(const GltfPicture& picture, GltfScene& scene) {
  ordered_json meshes = ordered_json::array();
  ordered_json nodes = ordered_json::array();
  ordered_json children = ordered_json::array();
  const auto add_node = [&](const char* name, ordered_json primitive) {
    meshes.push_back({{"name", name}, {"primitives", {std::move(primitive)}}});
    nodes.push_back({{"name", name}, {"mesh", meshes.size() - 1}});
    children.push_back(nodes.size() - 1);
  };
  const int positions = scene.add_vectors(picture.mesh.points_mm, kMetresPerMillimetre, true);
  const int normals = scene.add_vectors(picture.mesh.normals, 1.0, false);
  const int indices = scene.add_triangles(picture.mesh.triangles);
  add_node("tube", {{"attributes", {{"POSITION", positions}, {"NORMAL", normals}}},
                    {"indices", indices},
                    {"material", 0},
                    {"mode", kTriangles}});
  if (picture.centreline_mm.size() > 1) {
    const int line = scene.add_vectors(picture.centreline_mm, kMetresPerMillimetre, true);
    add_node("centreline",
             {{"attributes", {{"POSITION", line}}}, {"material", 1}, {"mode", kLineStrip}});
  }
  // A quarter turn about X: the part's Z to the standard's Y.
  const double half = std::sqrt(0.5);
  nodes.push_back({{"name", picture.name.empty() ? "part" : picture.name},
                   {"rotation", {-half, 0.0, 0.0, half}},
                   {"children", children}});
  ordered_json out = scene.heading(nodes.size() - 1);
  out["nodes"] = nodes;
  out["meshes"] = meshes;
  out["materials"] = materials();
  if (picture.centreline_mm.size() <= 1) out["materials"].erase(1);
  out["accessors"] = scene.accessors;
  out["bufferViews"] = scene.views;
  return out;
}

}  // namespace

std::string gltf_text(const GltfPicture& picture) {
  GltfScene scene;
  ordered_json json = document(picture, scene);
  return scene.text(std::move(json));
}

std::string glb_bytes(const GltfPicture& picture) {
  GltfScene scene;
  ordered_json json = document(picture, scene);
  return scene.bytes(std::move(json));
}

}  // namespace bight::exchange

#include "exchange/gltf_write.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "exchange/little_endian.h"

namespace bight::exchange {

using nlohmann::ordered_json;

namespace {

// Numbers of the standard, clause 3.6 and 3.7.
constexpr int kFloat = 5126;
constexpr int kUnsignedInt = 5125;
constexpr int kVertexData = 34962;
constexpr int kIndexData = 34963;
constexpr int kLineStrip = 3;
constexpr int kTriangles = 4;

constexpr double kMetresPerMillimetre = 1e-3;

// Collects the binary data and the JSON that describes it.
class Scene {
 public:
  int add_vectors(const std::vector<geometry::Vec3>& vectors, double factor_ratio, bool bounded) {
    const std::size_t start = data_.size();
    Eigen::Vector3f low = Eigen::Vector3f::Constant(INFINITY);
    Eigen::Vector3f high = -low;
    for (const geometry::Vec3& vector : vectors) {
      const Eigen::Vector3f v = (vector * factor_ratio).cast<float>();
      low = low.cwiseMin(v);
      high = high.cwiseMax(v);
      for (int i = 0; i < 3; ++i) append_f32(data_, v[i]);
    }
    ordered_json accessor = {{"bufferView", add_view(start, kVertexData)},
                             {"componentType", kFloat},
                             {"count", vectors.size()},
                             {"type", "VEC3"}};
    if (bounded) {
      accessor["min"] = {low.x(), low.y(), low.z()};
      accessor["max"] = {high.x(), high.y(), high.z()};
    }
    return add_accessor(std::move(accessor));
  }

  int add_triangles(const std::vector<std::array<std::uint32_t, 3>>& triangles) {
    const std::size_t start = data_.size();
    for (const auto& triangle : triangles) {
      for (const std::uint32_t index : triangle) append_u32(data_, index);
    }
    return add_accessor({{"bufferView", add_view(start, kIndexData)},
                         {"componentType", kUnsignedInt},
                         {"count", 3 * triangles.size()},
                         {"type", "SCALAR"}});
  }

  ordered_json views = ordered_json::array();
  ordered_json accessors = ordered_json::array();
  const std::string& data() const { return data_; }

 private:
  int add_view(std::size_t start, int target) {
    views.push_back({{"buffer", 0},
                     {"byteOffset", start},
                     {"byteLength", data_.size() - start},
                     {"target", target}});
    return static_cast<int>(views.size()) - 1;
  }

  int add_accessor(ordered_json accessor) {
    accessors.push_back(std::move(accessor));
    return static_cast<int>(accessors.size()) - 1;
  }

  std::string data_;
};

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
ordered_json document(const GltfPicture& picture, Scene& scene) {
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
  ordered_json out = {{"asset", {{"version", "2.0"}, {"generator", "Bight"}}}, {"scene", 0}};
  out["scenes"] = {{{"nodes", {nodes.size() - 1}}}};
  out["nodes"] = nodes;
  out["meshes"] = meshes;
  out["materials"] = materials();
  if (picture.centreline_mm.size() <= 1) out["materials"].erase(1);
  out["accessors"] = scene.accessors;
  out["bufferViews"] = scene.views;
  return out;
}

std::string dumped(const ordered_json& json, int indent) {
  return json.dump(indent, ' ', false, ordered_json::error_handler_t::replace);
}

// RFC 4648, section 4.
std::string base64(const std::string& bytes) {
  constexpr char kAlphabet[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string out;
  out.reserve((bytes.size() + 2) / 3 * 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    std::uint32_t group = 0;
    for (std::size_t k = 0; k < 3; ++k) {
      group = (group << 8) | (i + k < bytes.size() ? static_cast<unsigned char>(bytes[i + k]) : 0u);
    }
    for (std::size_t k = 0; k < 4; ++k) {
      out += i + k <= bytes.size() ? kAlphabet[(group >> (18 - 6 * k)) & 63] : '=';
    }
  }
  return out;
}

}  // namespace

std::string gltf_text(const GltfPicture& picture) {
  Scene scene;
  ordered_json json = document(picture, scene);
  json["buffers"] = {{{"uri", "data:application/octet-stream;base64," + base64(scene.data())},
                      {"byteLength", scene.data().size()}}};
  return dumped(json, 2) + "\n";
}

// Clause 4.4: a header, the JSON padded with spaces, the data padded with zeros, each to 4 bytes.
std::string glb_bytes(const GltfPicture& picture) {
  Scene scene;
  ordered_json json = document(picture, scene);
  json["buffers"] = {{{"byteLength", scene.data().size()}}};
  std::string text = dumped(json, -1);
  text.resize((text.size() + 3) / 4 * 4, ' ');
  std::string data = scene.data();
  data.resize((data.size() + 3) / 4 * 4, '\0');
  constexpr std::size_t kHeaders_bytes = 12 + 8 + 8;
  std::string out = "glTF";
  append_u32(out, 2);
  append_u32(out, static_cast<std::uint32_t>(kHeaders_bytes + text.size() + data.size()));
  append_u32(out, static_cast<std::uint32_t>(text.size()));
  out += "JSON" + text;
  append_u32(out, static_cast<std::uint32_t>(data.size()));
  out += std::string("BIN\0", 4) + data;
  return out;
}

}  // namespace bight::exchange

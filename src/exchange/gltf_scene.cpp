#include "exchange/gltf_scene.h"

#include <cmath>

#include "exchange/little_endian.h"

namespace bight::exchange {

using nlohmann::ordered_json;

namespace {

// Numbers of the standard, clause 3.6.
constexpr int kFloat = 5126;
constexpr int kUnsignedInt = 5125;
constexpr int kVertexData = 34962;
constexpr int kIndexData = 34963;

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

int GltfScene::add_vectors(const std::vector<geometry::Vec3>& vectors, double factor_ratio,
                           bool bounded) {
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

int GltfScene::add_triangles(const std::vector<std::array<std::uint32_t, 3>>& triangles) {
  const std::size_t start = data_.size();
  for (const auto& triangle : triangles) {
    for (const std::uint32_t index : triangle) append_u32(data_, index);
  }
  return add_accessor({{"bufferView", add_view(start, kIndexData)},
                       {"componentType", kUnsignedInt},
                       {"count", 3 * triangles.size()},
                       {"type", "SCALAR"}});
}

int GltfScene::add_times(std::span<const float> times_s) {
  const std::size_t start = data_.size();
  for (const float time_s : times_s) append_f32(data_, time_s);
  return add_accessor({{"bufferView", add_view(start, std::nullopt)},
                       {"componentType", kFloat},
                       {"count", times_s.size()},
                       {"type", "SCALAR"},
                       {"min", {times_s.front()}},
                       {"max", {times_s.back()}}});
}

int GltfScene::add_values(std::span<const float> values, int width) {
  const std::size_t start = data_.size();
  for (const float value : values) append_f32(data_, value);
  return add_accessor({{"bufferView", add_view(start, std::nullopt)},
                       {"componentType", kFloat},
                       {"count", values.size() / static_cast<std::size_t>(width)},
                       {"type", width == 3 ? "VEC3" : "VEC4"}});
}

int GltfScene::add_view(std::size_t start, std::optional<int> target) {
  ordered_json view = {{"buffer", 0}, {"byteOffset", start}, {"byteLength", data_.size() - start}};
  if (target) view["target"] = *target;
  views.push_back(std::move(view));
  return static_cast<int>(views.size()) - 1;
}

int GltfScene::add_accessor(ordered_json accessor) {
  accessors.push_back(std::move(accessor));
  return static_cast<int>(accessors.size()) - 1;
}

ordered_json GltfScene::heading(std::size_t root_node) const {
  ordered_json out = {{"asset", {{"version", "2.0"}, {"generator", "Bight"}}}, {"scene", 0}};
  out["scenes"] = {{{"nodes", {root_node}}}};
  return out;
}

std::string GltfScene::text(ordered_json document) const {
  document["buffers"] = {{{"uri", "data:application/octet-stream;base64," + base64(data_)},
                          {"byteLength", data_.size()}}};
  return dumped(document, 2) + "\n";
}

// Clause 4.4: a header, the JSON padded with spaces, the data padded with zeros, each to 4 bytes.
std::string GltfScene::bytes(ordered_json document) const {
  document["buffers"] = {{{"byteLength", data_.size()}}};
  std::string text = dumped(document, -1);
  text.resize((text.size() + 3) / 4 * 4, ' ');
  std::string data = data_;
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

// The pieces that every glTF 2.0 file of ours is put together from.
#pragma once

#include <array>
#include <cstdint>
#include <nlohmann/json.hpp>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "geometry/frame.h"

namespace bight::exchange {

inline constexpr double kMetresPerMillimetre = 1e-3;

// Collects the binary data and the JSON that describes it. Each add_ function returns the index of
// the accessor made.
class GltfScene {
 public:
  // Places or normals of vertices.
  int add_vectors(const std::vector<geometry::Vec3>& vectors, double factor_ratio, bool bounded);
  int add_triangles(const std::vector<std::array<std::uint32_t, 3>>& triangles);
  // Key times in seconds, rising; with their bounds, as the standard wants them.
  int add_times(std::span<const float> times_s);
  // Values at key times: 3 numbers each ("VEC3"), or 4 ("VEC4").
  int add_values(std::span<const float> values, int width);

  // Asset and scene with one root node.
  nlohmann::ordered_json heading(std::size_t root_node) const;
  // The whole file around the document: text with the data inside, or binary (clause 4.4).
  std::string text(nlohmann::ordered_json document) const;
  std::string bytes(nlohmann::ordered_json document) const;

  nlohmann::ordered_json views = nlohmann::ordered_json::array();
  nlohmann::ordered_json accessors = nlohmann::ordered_json::array();

 private:
  int add_view(std::size_t start, std::optional<int> target);
  int add_accessor(nlohmann::ordered_json accessor);

  std::string data_;
};

}  // namespace bight::exchange

// The bodies of a bender and the room it stands in, as keys of its entry in a shop's files.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "base/result.h"
#include "exchange/fields.h"
#include "workshop/shop.h"

namespace bight::exchange {

// More is a drawing, not a bender described for clearance.
inline constexpr std::size_t kMostBodies = 200;
inline constexpr std::size_t kMostWalls = 20;
inline constexpr std::size_t kMostOutlineCorners = 200;
inline constexpr std::size_t kMostLevels = 20;
inline constexpr std::size_t kLargestMesh_bytes = std::size_t{64} << 20;
inline constexpr std::size_t kMostBodyTriangles = 500'000;

// Body, room, levels and how the parts move; docs/formats/shop.md describes the keys. What is wrong
// is a complaint of the fields, with codes shop.value (a number no machine can have), shop.body (no
// shape or several, an outline that crosses itself or encloses nothing), shop.mesh (a mesh's name
// that leads out of the folder), shop.name-twice, and those of fields.h.
workshop::Surroundings surroundings_of(Fields& bender);

// The millimetres of one unit of a mesh, by its word: "mm", "cm", "m", "in".
std::optional<double> mesh_unit_mm(std::string_view word);
// The word; "mm" when there is none.
std::string_view mesh_unit_word(double unit_mm);

// Reads every mesh that the shop's bodies name, relative to its folder: PLY or STL, scaled to
// millimetres. Failure codes: shop.mesh (too large, no triangles, all in one plane, or further off
// than any workshop reaches), file.missing, file.read and those of read_cloud.
base::Status read_meshes(workshop::Shop& shop, const std::string& folder);

}  // namespace bight::exchange

// Points of a scan as a file holds them: a point cloud or a mesh, in the file's own unit.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "geometry/fit_shapes.h"

namespace bight::exchange {

struct Cloud {
  geometry::Points points;  // in the file's unit; neither PLY nor STL nor a list says which it is
  std::vector<std::array<std::uint32_t, 3>> triangles;  // indices; none for a cloud
  std::string format;                                   // "PLY, binary little-endian" …
};

// More is not a scan of one tube, and would not fit in memory.
inline constexpr std::size_t kMostCloudPoints = 40'000'000;
inline constexpr std::size_t kLargestCloud_bytes = std::size_t{2} << 30;

// Reads bytes by what they hold: PLY, STL, else lines of numbers. Colours, normals and whatever
// else the file says of a point are passed over: normals are estimated anew where they are wanted.
// Failure codes: cloud.empty (no points), cloud.many, cloud.number (not a finite number),
// cloud.truncated (ends before the points do), cloud.ply (header or index), cloud.stl,
// cloud.columns (lines of different length, fewer than three numbers), cloud.comma (a comma that
// may part decimals or columns).
base::Result<Cloud> read_cloud(std::string_view bytes, const std::string& file);

// Reads the file. Failure codes: file.missing, file.read, file.size, those of read_cloud.
base::Result<Cloud> read_cloud_file(const std::string& path);

// Whether a file begins as PLY, or as STL written as text. STL in binary has no mark of its own.
bool looks_like_ply(std::string_view head);
bool looks_like_stl_text(std::string_view head);

// Points spread evenly by area over the mesh; none without triangles. Repeatable.
geometry::Points evenly_on(const Cloud& mesh, std::size_t num);

}  // namespace bight::exchange

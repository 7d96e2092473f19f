// Triangles in STL, binary or text.
#pragma once

#include <string>
#include <string_view>

#include "base/result.h"
#include "exchange/cloud.h"

namespace bight::exchange {

// Whether the bytes are STL: of the size that a binary file's own count gives, or starting as text.
bool looks_like_stl(std::string_view bytes);

// Corners in the same place are one point. (Both forms are common practice of the format's users;
// from memory: 80 bytes of anything, a count, 50 bytes for each facet, little-endian; or "solid",
// "facet normal", "outer loop", three "vertex", "endloop", "endfacet", "endsolid".)
// Failure codes: cloud.stl, cloud.truncated, cloud.number, cloud.many.
base::Result<Cloud> read_stl(std::string_view bytes, const std::string& file);

}  // namespace bight::exchange

// The polygon file format: a header in words, then elements as text or binary.
#pragma once

#include <string>
#include <string_view>

#include "base/result.h"
#include "exchange/cloud.h"

namespace bight::exchange {

// Element "vertex" with x, y, z of any type; element "face" with a list "vertex_indices" or
// "vertex_index", polygons cut into fans; everything else is passed over. Text, binary
// little-endian and big-endian. (Format as described by its author, G. Turk, The PLY Polygon File
// Format, 1994; from memory.) Failure codes: cloud.ply, cloud.truncated, cloud.number, cloud.many.
base::Result<Cloud> read_ply(std::string_view bytes, const std::string& file);

}  // namespace bight::exchange

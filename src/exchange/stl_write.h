// Triangles as binary STL, in millimetres.
#pragma once

#include <string>

#include "exchange/tube_mesh.h"

namespace bight::exchange {

// 80 bytes of text, the number of triangles, 50 bytes for each: facet normal, three points, two
// zero bytes; little-endian. Triangles that single precision makes flat are left out.
std::string stl_bytes(const TubeMesh& mesh, const std::string& name);

}  // namespace bight::exchange

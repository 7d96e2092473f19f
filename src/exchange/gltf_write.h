// The tube as glTF 2.0 (ISO/IEC 12113:2022), in one file: .glb, or .gltf with its data inside.
#pragma once

#include <string>

#include "exchange/tube_mesh.h"

namespace bight::exchange {

struct GltfPicture {
  std::string name;
  const TubeMesh& mesh;
  std::vector<geometry::Vec3> centreline_mm;  // drawn as a line; empty: none
};

// Metres, and Y upwards, as the standard has it: the part's Z becomes Y by the node's rotation.
std::string glb_bytes(const GltfPicture& picture);
std::string gltf_text(const GltfPicture& picture);

}  // namespace bight::exchange

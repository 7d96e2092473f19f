// What can be struck: named convex solids and meshes, grouped by what carries them.
#pragma once

#include <Eigen/Geometry>
#include <memory>
#include <string>
#include <variant>
#include <vector>

#include "base/result.h"
#include "clearance/convex.h"
#include "clearance/mesh_tree.h"
#include "workshop/body.h"

namespace bight::clearance {

using Solid = std::variant<HalfSpace, Box, Cylinder, Prism, std::shared_ptr<const MeshTree>>;

// One convex piece of a body, or a mesh. A body may be several.
struct Obstacle {
  Solid solid;
  Eigen::AlignedBox3d bounds_mm;  // without bound for a half-space
  std::string name;               // of the body
  bool keep_out = false;
};
using Obstacles = std::vector<Obstacle>;

// The pieces of a body, in the axes of what carries it and moved along them; an outline that is not
// convex becomes several. Failure codes: clearance.body (no volume, an outline that crosses itself
// or encloses nothing, a mesh without triangles or with indices beyond its points).
base::Status add_body(Obstacles& obstacles, const workshop::Body& body,
                      const geometry::Vec3& moved_by_mm = geometry::Vec3::Zero());

// Floor, ceiling and walls, in the machine frame.
void add_room(Obstacles& obstacles, const workshop::Room& room);

// A bend die: a disc about the machine's z axis as large as its groove's bottom line is deep, that
// is of the bend radius: a groove for half the tube leaves that much.
Obstacle die_disc(const std::string& name, double radius_mm, double height_mm, double level_mm);

}  // namespace bight::clearance

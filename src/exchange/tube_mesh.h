// The skin of a bent tube as triangles, for pictures and prints.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "base/result.h"
#include "geometry/bend_table.h"
#include "geometry/frame.h"
#include "stock/section.h"

namespace bight::exchange {

struct MeshOptions {
  // No point of the true skin is further from the triangles than about this.
  double tolerance_mm = 0.05;
};

// Closed and facing outwards. Vertices are doubled along edges so that each carries one normal.
struct TubeMesh {
  std::vector<geometry::Vec3> points_mm;
  std::vector<geometry::Vec3> normals;
  std::vector<std::array<std::uint32_t, 3>> triangles;
};

// Finest and coarsest tolerance taken.
inline constexpr double kFinestMesh_mm = 0.001;
inline constexpr double kCoarsestMesh_mm = 5.0;
inline constexpr std::size_t kMostTriangles = 4'000'000;

// The section's height lies in the plane of the first bend and keeps its place on the metal all
// along. Inscribed: with N sides round the tube and steps of delta along an arc the volume falls
// short of area times length by the ratios sin(2 pi/N)/(2 pi/N) and about 1 - delta^2/6.
// Failure codes: mesh.tolerance, mesh.fine (too many triangles), mesh.overlap (arcs eat a
// straight), mesh.radius (a bend tighter than half the section).
base::Result<TubeMesh> tube_mesh(const geometry::BendTable& table, const geometry::Frame& start,
                                 const stock::Section& section, const MeshOptions& options = {});

}  // namespace bight::exchange

// What a boundary-representation file holds, as plain numbers: faces with sampled points and
// outward normals, edges with points, bodies with names. Everything behind this line is free of
// any CAD kernel.
#pragma once

#include <array>
#include <cstddef>
#include <string>
#include <vector>

#include "geometry/frame.h"

namespace bight::reader {

using geometry::Vec3;

enum class SurfaceKind { kPlane, kCylinder, kCone, kSphere, kTorus, kFree };

struct Sample {
  Vec3 point_mm = Vec3::Zero();
  Vec3 normal = Vec3::Zero();  // unit, out of the material; zero where the surface has none
};

enum class CurveKind { kLine, kCircle, kOther };

struct ScanEdge {
  CurveKind kind = CurveKind::kOther;
  std::vector<Vec3> points_mm;     // in order along the edge, both ends included
  std::vector<std::size_t> faces;  // one (seam or open) or two, rarely more
};

// Surface parameters mean: plane: origin, axis = outward normal; cylinder: origin on the axis,
// axis, radius; torus: centre, axis, radius = major, minor. A cone only has its axis.
struct ScanFace {
  SurfaceKind kind = SurfaceKind::kFree;
  Vec3 origin_mm = Vec3::Zero();
  Vec3 axis = Vec3::UnitZ();
  double radius_mm = 0.0;
  double minor_mm = 0.0;
  // Samples on a grid of columns x rows over the face's parameter range, row after row. When the
  // face is regular the range is the face itself; otherwise the grid may reach outside of it.
  std::size_t columns = 0;
  std::size_t rows = 0;
  std::vector<Sample> grid;
  bool regular = false;
  bool fitted = false;  // kind was found by fitting samples, not named in the file
  // 1, 2, … for the straights and arcs of one long free-form face; 0 for a face of the file.
  std::size_t piece = 0;
  std::vector<std::size_t> edges;
  std::size_t body = 0;

  const Sample& at(std::size_t column, std::size_t row) const {
    return grid[row * columns + column];
  }
};

struct ScanBody {
  std::string name;
  bool solid = false;  // a closed body, whose normals can be trusted to point outwards
  std::vector<std::size_t> faces;
};

struct Scan {
  std::vector<ScanFace> faces;
  std::vector<ScanEdge> edges;
  std::vector<ScanBody> bodies;
  std::string name;
  std::string unit;
  std::string schema;
  double uncertainty_mm = 0.0;  // as the file states it; 0 when it does not
};

}  // namespace bight::reader

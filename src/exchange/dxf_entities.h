// The lines and arcs of a drawing, in space, in the drawing's own unit.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "geometry/frame.h"

namespace bight::exchange {

// One straight or arc. An arc runs from start to end, turning by `angle` about its centre,
// right-hand about nhat_axis.
struct DxfPiece {
  geometry::Vec3 start = geometry::Vec3::Zero();
  geometry::Vec3 end = geometry::Vec3::Zero();
  bool arc = false;
  geometry::Vec3 centre = geometry::Vec3::Zero();
  geometry::Vec3 nhat_axis = geometry::Vec3::UnitZ();
  base::Angle angle;  // in (0°, 360°)

  double radius() const;
  geometry::Vec3 ahead_at_start() const;
  geometry::Vec3 ahead_at_end() const;
  DxfPiece reversed() const;
};

// Pieces drawn as one: a polyline, or a single line or arc.
struct DxfCurve {
  std::string layer;
  std::vector<DxfPiece> pieces;
  bool closed = false;
  bool polyline = false;
};

struct DxfDrawing {
  std::vector<DxfCurve> curves;
  std::optional<int> unit_code;            // $INSUNITS; nothing where the drawing does not say
  std::string version;                     // $ACADVER, "AC1015"
  std::map<std::string, int> passed_over;  // entities that are no lines or arcs, by type
  bool complete = true;                    // ends with EOF
};

// Reads LINE, ARC, LWPOLYLINE with bulges, and POLYLINE in the plane and in space, from the model
// and from the blocks it inserts (scaled alike in all directions, turned, moved, in rows and
// columns). Paper space is left out. OCS entities are turned into world coordinates by the
// arbitrary axis algorithm of the DXF reference.
// Failure codes: those of dxf_groups.h, dxf.many (more than kMostDxfPieces).
base::Result<DxfDrawing> read_dxf_drawing(std::string_view bytes, const std::string& file);

inline constexpr std::size_t kMostDxfPieces = 200000;

// Axes of an object coordinate system from its extrusion direction: the arbitrary axis algorithm
// (DXF reference, "Object coordinate systems"). Columns X, Y, Z; the identity for +Z.
Eigen::Matrix3d ocs_axes(const geometry::Vec3& extrusion);

}  // namespace bight::exchange

// Test support, see made_pieces.h; and a check of it by Pappus.
#include <gtest/gtest.h>

#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepBuilderAPI_Sewing.hxx>
#include <BRepGProp.hxx>
#include <GProp_GProps.hxx>
#include <Geom_BSplineSurface.hxx>
#include <ShapeFix_Solid.hxx>
#include <TColStd_Array1OfInteger.hxx>
#include <TColStd_Array1OfReal.hxx>
#include <TColStd_Array2OfReal.hxx>
#include <TColgp_Array2OfPnt.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <algorithm>
#include <cmath>
#include <gp_Circ.hxx>
#include <gp_Pln.hxx>
#include <numbers>

#include "reader/made_pieces.h"

namespace bight::reader::made {
namespace {

constexpr int kRound = 9;  // control points of a whole circle of quadratic arcs

// A row of control points across the tube, their weights less those of the circle itself, and how
// far along the row lies.
struct Row {
  std::vector<gp_Pnt> points;
  double weight = 1.0;
};

// Control point k of a circle in the piece's own frame.
gp_Pnt on_circle(const Piece& piece, double radius_mm, int k) {
  const double angle_rad = k * std::numbers::pi / 4.0 + piece.profile_rad;
  const double reach_mm = k % 2 == 0 ? radius_mm : radius_mm * std::numbers::sqrt2;
  return gp_Pnt(0, reach_mm * std::cos(angle_rad), reach_mm * std::sin(angle_rad));
}

Row straight_row(const Piece& piece, double radius_mm, double along_mm) {
  Row row;
  for (int k = 0; k < kRound; ++k) {
    const gp_Pnt p = on_circle(piece, radius_mm, k);
    row.points.push_back(gp_Pnt(along_mm, p.Y(), p.Z()).Transformed(piece.at));
  }
  return row;
}

// Turned about the bend's axis; stretch above 1 lays the row on the meeting of two tangents.
Row bent_row(const Piece& piece, double radius_mm, double turn_rad, double stretch) {
  Row row;
  for (int k = 0; k < kRound; ++k) {
    const gp_Pnt p = on_circle(piece, radius_mm, k);
    const double arm_mm = (piece.radius_mm - p.Y()) * stretch;
    row.points.push_back(
        gp_Pnt(arm_mm * std::sin(turn_rad), piece.radius_mm - arm_mm * std::cos(turn_rad), p.Z())
            .Transformed(piece.at));
  }
  row.weight = 1.0 / stretch;
  return row;
}

Handle(Geom_BSplineSurface) surface_of(const std::vector<Piece>& pieces, double radius_mm) {
  std::vector<Row> rows{pieces.front().length_mm > 0.0
                            ? straight_row(pieces.front(), radius_mm, 0.0)
                            : bent_row(pieces.front(), radius_mm, 0.0, 1.0)};
  std::vector<double> knots{0.0};
  for (const Piece& piece : pieces) {
    if (piece.length_mm > 0.0) {
      rows.push_back(straight_row(piece, radius_mm, 0.5 * piece.length_mm));
      rows.push_back(straight_row(piece, radius_mm, piece.length_mm));
      knots.push_back(knots.back() + piece.length_mm);
      continue;
    }
    const int parts =
        static_cast<int>(std::ceil(piece.angle_rad / (0.5 * std::numbers::pi) - 1e-9));
    const double step_rad = piece.angle_rad / parts;
    for (int i = 0; i < parts; ++i) {
      rows.push_back(
          bent_row(piece, radius_mm, (i + 0.5) * step_rad, 1.0 / std::cos(0.5 * step_rad)));
      rows.push_back(bent_row(piece, radius_mm, (i + 1) * step_rad, 1.0));
      knots.push_back(knots.back() + piece.radius_mm * step_rad);
    }
  }
  const int num_v = static_cast<int>(rows.size());
  TColgp_Array2OfPnt poles(1, kRound, 1, num_v);
  TColStd_Array2OfReal weights(1, kRound, 1, num_v);
  for (int v = 1; v <= num_v; ++v) {
    const Row& row = rows[static_cast<std::size_t>(v - 1)];
    for (int u = 1; u <= kRound; ++u) {
      poles(u, v) = row.points[static_cast<std::size_t>(u - 1)];
      weights(u, v) = row.weight * (u % 2 == 1 ? 1.0 : std::numbers::sqrt2 / 2.0);
    }
  }
  TColStd_Array1OfReal u_knots(1, 5);
  TColStd_Array1OfInteger u_times(1, 5);
  for (int i = 1; i <= 5; ++i) {
    u_knots(i) = i - 1;
    u_times(i) = i == 1 || i == 5 ? 3 : 2;
  }
  const int num_knots = static_cast<int>(knots.size());
  TColStd_Array1OfReal v_knots(1, num_knots);
  TColStd_Array1OfInteger v_times(1, num_knots);
  for (int i = 1; i <= num_knots; ++i) {
    v_knots(i) = knots[static_cast<std::size_t>(i - 1)];
    v_times(i) = i == 1 || i == num_knots ? 3 : 2;
  }
  return new Geom_BSplineSurface(poles, weights, u_knots, v_knots, u_times, v_times, 2, 2);
}

// Where a piece ends, travelling on.
gp_Trsf at_end(const Piece& piece) {
  gp_Trsf step;
  if (piece.length_mm > 0.0) {
    step.SetTranslation(gp_Vec(piece.length_mm, 0, 0));
  } else {
    step.SetRotation(gp_Ax1(gp_Pnt(0, piece.radius_mm, 0), gp_Dir(0, 0, 1)), piece.angle_rad);
  }
  return piece.at * step;
}

TopoDS_Shape disc_at(const gp_Trsf& at, double start_rad, double outer_mm, double inner_mm) {
  const gp_Ax2 axes(gp_Pnt(), gp_Dir(1, 0, 0), gp_Dir(0, std::cos(start_rad), std::sin(start_rad)));
  const auto ring = [&](double radius_mm) {
    return BRepBuilderAPI_MakeWire(
               BRepBuilderAPI_MakeEdge(gp_Circ(axes, radius_mm).Transformed(at)).Edge())
        .Wire();
  };
  BRepBuilderAPI_MakeFace face(gp_Pln(gp_Pnt(), gp_Dir(1, 0, 0)).Transformed(at), ring(outer_mm));
  if (inner_mm > 0.0) face.Add(TopoDS::Wire(ring(inner_mm).Reversed()));
  return face.Shape();
}

}  // namespace

TopoDS_Shape long_faced(const std::vector<Piece>& pieces, double outer_mm, double inner_mm) {
  BRepBuilderAPI_Sewing sewing(1e-4);
  for (const double radius_mm : {outer_mm, inner_mm}) {
    if (radius_mm > 0.0) {
      sewing.Add(BRepBuilderAPI_MakeFace(surface_of(pieces, radius_mm), 1e-7).Face());
    }
  }
  sewing.Add(disc_at(pieces.front().at, pieces.front().profile_rad, outer_mm, inner_mm));
  sewing.Add(disc_at(at_end(pieces.back()), pieces.back().profile_rad, outer_mm, inner_mm));
  sewing.Perform();
  TopExp_Explorer shells(sewing.SewedShape(), TopAbs_SHELL);
  if (!shells.More()) return sewing.SewedShape();
  return ShapeFix_Solid().SolidFromShell(TopoDS::Shell(shells.Current()));
}

namespace {

// Volume by Pappus: the ring's area times the centreline's length, exact for arcs.
TEST(MadeLongFace, HasTheVolumeOfTheTube) {
  Piece straight;
  straight.length_mm = 100;
  Piece bend;
  bend.at.SetTranslation(gp_Vec(100, 0, 0));
  bend.angle_rad = 2.0;
  bend.radius_mm = 60;
  const TopoDS_Shape tube = long_faced({straight, bend}, 12.5, 10.5);
  ASSERT_EQ(tube.ShapeType(), TopAbs_SOLID);
  GProp_GProps properties;
  BRepGProp::VolumeProperties(tube, properties, 1e-8);
  const double wanted = std::numbers::pi * (12.5 * 12.5 - 10.5 * 10.5) * (100 + 120);
  EXPECT_NEAR(properties.Mass(), wanted, 1e-5 * wanted);
  int num_faces = 0;
  for (TopExp_Explorer faces(tube, TopAbs_FACE); faces.More(); faces.Next()) ++num_faces;
  EXPECT_EQ(num_faces, 4);
}

}  // namespace
}  // namespace bight::reader::made

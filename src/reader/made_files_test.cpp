#include "reader/made_files.h"

#include <gtest/gtest.h>

#include <BRepAdaptor_Surface.hxx>
#include <BRepAlgoAPI_Cut.hxx>
#include <BRepAlgoAPI_Fuse.hxx>
#include <BRepBuilderAPI_Copy.hxx>
#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepBuilderAPI_NurbsConvert.hxx>
#include <BRepBuilderAPI_Sewing.hxx>
#include <BRepBuilderAPI_Transform.hxx>
#include <BRepCheck_Analyzer.hxx>
#include <BRepFilletAPI_MakeFillet.hxx>
#include <BRepGProp.hxx>
#include <BRepOffsetAPI_MakePipe.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <BRepPrimAPI_MakeCone.hxx>
#include <BRepPrimAPI_MakeCylinder.hxx>
#include <BRepPrimAPI_MakePrism.hxx>
#include <BRepPrimAPI_MakeRevol.hxx>
#include <BRepPrimAPI_MakeSphere.hxx>
#include <BRepPrimAPI_MakeTorus.hxx>
#include <BRep_Builder.hxx>
#include <GProp_GProps.hxx>
#include <GeomAPI_PointsToBSpline.hxx>
#include <Geom_BSplineCurve.hxx>
#include <Interface_Static.hxx>
#include <STEPControl_Reader.hxx>
#include <STEPControl_Writer.hxx>
#include <ShapeCustom.hxx>
#include <ShapeCustom_RestrictionParameters.hxx>
#include <ShapeUpgrade_UnifySameDomain.hxx>
#include <StepBasic_Product.hxx>
#include <StepData_StepModel.hxx>
#include <TColStd_SequenceOfAsciiString.hxx>
#include <TColgp_Array1OfPnt.hxx>
#include <TopExp.hxx>
#include <TopExp_Explorer.hxx>
#include <TopLoc_Location.hxx>
#include <TopTools_IndexedMapOfShape.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Compound.hxx>
#include <XSControl_WorkSession.hxx>
#include <cmath>
#include <gp_Circ.hxx>
#include <gp_Cylinder.hxx>
#include <gp_Trsf.hxx>
#include <numbers>

#include "reader/made_pieces.h"

// The kernel keeps a few blocks of its own until the process ends.
extern "C" const char* __lsan_default_suppressions();
extern "C" const char* __lsan_default_suppressions() {
  return "leak:libTKernel\nleak:libTKXSBase\nleak:libTKSTEP\n";
}

namespace bight::reader::made {
namespace {

constexpr double kDeg = std::numbers::pi / 180.0;

gp_Trsf shift(double x, double y, double z) {
  gp_Trsf t;
  t.SetTranslation(gp_Vec(x, y, z));
  return t;
}

gp_Trsf turn(const gp_Pnt& through, const gp_Dir& about, double rad) {
  gp_Trsf t;
  t.SetRotation(gp_Ax1(through, about), rad);
  return t;
}

// The centreline's pieces in travelling order.
struct Layout {
  std::vector<Piece> pieces;
  gp_Trsf end;
};

gp_Trsf placement(const Recipe& recipe) {
  return shift(recipe.move_mm[0], recipe.move_mm[1], recipe.move_mm[2]) *
         turn(gp_Pnt(), gp_Dir(1, 2, 3), recipe.turn_deg * kDeg);
}

Layout lay_out(const Recipe& recipe) {
  Layout layout;
  gp_Trsf at = placement(recipe);
  double rolled_rad = 0.0;
  const auto straight = [&](double length_mm) {
    if (length_mm > 0.0) layout.pieces.push_back({at, length_mm, 0.0, 0.0, -rolled_rad});
    at = at * shift(length_mm, 0, 0);
  };
  for (const Row& row : recipe.rows) {
    straight(row.straight_mm);
    at = at * turn(gp_Pnt(), gp_Dir(1, 0, 0), row.rotation_deg * kDeg);
    rolled_rad += row.rotation_deg * kDeg;
    layout.pieces.push_back({at, 0.0, row.angle_deg * kDeg, row.radius_mm, -rolled_rad});
    at = at * turn(gp_Pnt(0, row.radius_mm, 0), gp_Dir(0, 0, 1), row.angle_deg * kDeg);
  }
  straight(recipe.last_mm);
  layout.end = at;
  return layout;
}

TopoDS_Wire circle_wire(double radius_mm, int arcs) {
  const gp_Circ circle(gp_Ax2(gp_Pnt(), gp_Dir(1, 0, 0), gp_Dir(0, 1, 0)), radius_mm);
  BRepBuilderAPI_MakeWire wire;
  const double step = 2.0 * std::numbers::pi / arcs;
  for (int i = 0; i < arcs; ++i) {
    wire.Add(BRepBuilderAPI_MakeEdge(circle, step * i, step * (i + 1)).Edge());
  }
  return wire.Wire();
}

// Rounded rectangle in the YZ plane: height along Y.
TopoDS_Wire rect_wire(double height_mm, double width_mm, double corner_mm) {
  const double y = 0.5 * height_mm;
  const double z = 0.5 * width_mm;
  const double r = corner_mm;
  BRepBuilderAPI_MakeWire wire;
  const int sy[] = {1, -1, -1, 1};
  const int sz[] = {1, 1, -1, -1};
  for (int i = 0; i < 4; ++i) {
    const int k = (i + 1) % 4;
    // Corner i, then the side to corner k.
    const bool along_y = sz[i] == sz[k];
    const gp_Pnt from(0, sy[i] * (along_y ? y - r : y), sz[i] * (along_y ? z : z - r));
    const gp_Pnt to(0, sy[k] * (along_y ? y - r : y), sz[k] * (along_y ? z : z - r));
    if (r > 0.0) {
      const gp_Circ circle(
          gp_Ax2(gp_Pnt(0, sy[i] * (y - r), sz[i] * (z - r)), gp_Dir(1, 0, 0), gp_Dir(0, 1, 0)), r);
      const double start = i * 0.5 * std::numbers::pi;
      wire.Add(BRepBuilderAPI_MakeEdge(circle, start, start + 0.5 * std::numbers::pi).Edge());
    }
    wire.Add(BRepBuilderAPI_MakeEdge(from, to).Edge());
  }
  return wire.Wire();
}

TopoDS_Face profile(const Recipe& recipe) {
  const bool round = recipe.width_mm <= 0.0;
  const double inner_corner = std::max(0.0, recipe.corner_mm - recipe.wall_mm);
  const TopoDS_Wire outer = round ? circle_wire(0.5 * recipe.height_mm, recipe.arcs_in_profile)
                                  : rect_wire(recipe.height_mm, recipe.width_mm, recipe.corner_mm);
  BRepBuilderAPI_MakeFace face(gp_Pln(gp_Pnt(), gp_Dir(1, 0, 0)), outer);
  if (recipe.wall_mm > 0.0) {
    const TopoDS_Wire inner =
        round ? circle_wire(0.5 * recipe.height_mm - recipe.wall_mm, recipe.arcs_in_profile)
              : rect_wire(recipe.height_mm - 2.0 * recipe.wall_mm,
                          recipe.width_mm - 2.0 * recipe.wall_mm, inner_corner);
    face.Add(TopoDS::Wire(inner.Reversed()));
  }
  return face.Face();
}

TopoDS_Shape placed(const TopoDS_Shape& shape, const gp_Trsf& at) {
  return BRepBuilderAPI_Transform(shape, at, Standard_True).Shape();
}

TopoDS_Shape swept(const Recipe& recipe, const Layout& layout) {
  BRepBuilderAPI_MakeWire wire;
  for (const Piece& piece : layout.pieces) {
    if (piece.length_mm > 0.0) {
      const gp_Pnt from = gp_Pnt().Transformed(piece.at);
      const gp_Pnt to = gp_Pnt(piece.length_mm, 0, 0).Transformed(piece.at);
      wire.Add(BRepBuilderAPI_MakeEdge(from, to).Edge());
      continue;
    }
    gp_Circ circle(gp_Ax2(gp_Pnt(0, piece.radius_mm, 0), gp_Dir(0, 0, 1), gp_Dir(0, -1, 0)),
                   piece.radius_mm);
    circle.Transform(piece.at);
    wire.Add(BRepBuilderAPI_MakeEdge(circle, 0.0, piece.angle_rad).Edge());
  }
  return BRepOffsetAPI_MakePipe(wire.Wire(), placed(profile(recipe), layout.pieces.front().at))
      .Shape();
}

std::vector<TopoDS_Shape> separate_pieces(const Recipe& recipe, const Layout& layout) {
  std::vector<TopoDS_Shape> solids;
  for (const Piece& piece : layout.pieces) {
    const TopoDS_Shape face =
        placed(profile(recipe), piece.at * turn(gp_Pnt(), gp_Dir(1, 0, 0), piece.profile_rad));
    if (piece.length_mm > 0.0) {
      const gp_Vec along = gp_Vec(piece.length_mm, 0, 0).Transformed(piece.at);
      solids.push_back(BRepPrimAPI_MakePrism(face, along).Shape());
      continue;
    }
    const gp_Ax1 axis =
        gp_Ax1(gp_Pnt(0, piece.radius_mm, 0), gp_Dir(0, 0, 1)).Transformed(piece.at);
    solids.push_back(BRepPrimAPI_MakeRevol(face, axis, piece.angle_rad).Shape());
  }
  return solids;
}

TopoDS_Shape compound_of(const std::vector<TopoDS_Shape>& shapes) {
  BRep_Builder builder;
  TopoDS_Compound compound;
  builder.MakeCompound(compound);
  for (const TopoDS_Shape& shape : shapes) builder.Add(compound, shape);
  return compound;
}

TopoDS_Shape body_of(const Recipe& recipe, const Layout& layout) {
  switch (recipe.build) {
    case Build::kPipe:
      return swept(recipe, layout);
    case Build::kLongFace:
      return long_faced(layout.pieces, 0.5 * recipe.height_mm,
                        recipe.wall_mm > 0.0 ? 0.5 * recipe.height_mm - recipe.wall_mm : 0.0);
    case Build::kFreeForm:
      return BRepBuilderAPI_NurbsConvert(swept(recipe, layout), Standard_True).Shape();
    case Build::kApproximated: {
      Handle(ShapeCustom_RestrictionParameters) what = new ShapeCustom_RestrictionParameters();
      what->ConvertCylindricalSurf() = Standard_True;
      what->ConvertToroidalSurf() = Standard_True;
      what->ConvertPlane() = Standard_True;
      return ShapeCustom::BSplineRestriction(swept(recipe, layout), 1e-3, 1e-3, 6, 200, GeomAbs_C1,
                                             GeomAbs_C1, Standard_True, Standard_False, what);
    }
    case Build::kBodies:
      return compound_of(separate_pieces(recipe, layout));
    default:
      break;
  }
  const std::vector<TopoDS_Shape> pieces = separate_pieces(recipe, layout);
  TopoDS_Shape whole = pieces.front();
  for (std::size_t i = 1; i < pieces.size(); ++i) {
    whole = BRepAlgoAPI_Fuse(whole, pieces[i]).Shape();
  }
  if (recipe.build == Build::kUnified) {
    ShapeUpgrade_UnifySameDomain unify(whole);
    unify.Build();
    whole = unify.Shape();
  }
  return whole;
}

// A frame at an end, looking out of the tube along X.
gp_Trsf looking_out(const Recipe& recipe, const Layout& layout, bool at_b) {
  if (at_b) return layout.end;
  return placement(recipe) * turn(gp_Pnt(), gp_Dir(0, 0, 1), std::numbers::pi);
}

// Cuts an end so that the centreline ends where it was.
TopoDS_Shape with_cut(const Recipe& recipe, const TopoDS_Shape& body, const gp_Trsf& out, Cut cut) {
  if (cut == Cut::kSquare) return body;
  const double size_mm = 6.0 * recipe.height_mm;
  TopoDS_Shape tool;
  if (cut == Cut::kMitre) {
    tool = BRepPrimAPI_MakeBox(gp_Pnt(0, -size_mm, -size_mm), gp_Pnt(size_mm, size_mm, size_mm))
               .Shape();
    tool = placed(tool, out * turn(gp_Pnt(), gp_Dir(1, 2, 5).Crossed(gp_Dir(1, 0, 0)),
                                   recipe.mitre_deg * kDeg));
  } else {
    // Where the axis meets the cylinder is where the centreline ends.
    const double sine = std::sin(recipe.cope_axis_deg * kDeg);
    const gp_Dir along(std::cos(recipe.cope_axis_deg * kDeg), 0, sine);
    const gp_Pnt centre(0.5 * recipe.cope_diameter_mm / sine, 0, 0);
    const gp_Pnt base = centre.Translated(gp_Vec(along) * (-size_mm));
    tool =
        BRepPrimAPI_MakeCylinder(gp_Ax2(base, along), 0.5 * recipe.cope_diameter_mm, 2.0 * size_mm)
            .Shape();
    tool = placed(tool, out);
  }
  return BRepAlgoAPI_Cut(body, tool).Shape();
}

// The longer body that a cut is made from: its ends reach past the cut by this much.
double spare_mm(const Recipe& recipe, Cut cut) {
  if (cut == Cut::kSquare) return 0.0;
  if (cut == Cut::kMitre) return 2.0 * recipe.height_mm;
  // As far as the axis of what it is coped to, so that nothing is left beyond.
  const double slant_rad = recipe.cope_axis_deg * kDeg;
  return 0.5 * recipe.cope_diameter_mm / std::sin(slant_rad) +
         0.5 * recipe.height_mm * std::abs(std::cos(slant_rad)) / std::sin(slant_rad);
}

TopoDS_Shape with_addition(const Recipe& recipe, TopoDS_Shape body, const TopoDS_Shape& addition,
                           std::vector<TopoDS_Shape>& beside) {
  if (recipe.separate) {
    beside.push_back(addition);
    return body;
  }
  return BRepAlgoAPI_Fuse(body, addition).Shape();
}

TopoDS_Shape disc(double x_from, double x_to, double outer_mm, double inner_mm) {
  const gp_Ax2 axes(gp_Pnt(x_from, 0, 0), gp_Dir(1, 0, 0));
  const TopoDS_Shape solid = BRepPrimAPI_MakeCylinder(axes, outer_mm, x_to - x_from).Shape();
  if (inner_mm <= 0.0) return solid;
  return BRepAlgoAPI_Cut(solid, BRepPrimAPI_MakeCylinder(axes, inner_mm, x_to - x_from).Shape())
      .Shape();
}

TopoDS_Shape with_additions(const Recipe& recipe, TopoDS_Shape body,
                            std::vector<TopoDS_Shape>& beside) {
  const gp_Trsf at = placement(recipe);
  const double r = 0.5 * recipe.height_mm;
  const double hole_mm = recipe.separate ? r : r - recipe.wall_mm;
  const double middle =
      recipe.rows.empty() ? 0.5 * recipe.last_mm : 0.5 * recipe.rows.front().straight_mm;
  if (recipe.flange_a) {
    body = with_addition(recipe, body, placed(disc(0.0, 8.0, 2.5 * r, hole_mm), at), beside);
  }
  if (recipe.collar) {
    body = with_addition(recipe, body, placed(disc(middle - 4, middle + 4, 1.8 * r, hole_mm), at),
                         beside);
  }
  if (recipe.bracket) {
    const TopoDS_Shape block =
        BRepPrimAPI_MakeBox(gp_Pnt(middle - 10, 0.9 * r, -5), gp_Pnt(middle + 10, 3.0 * r, 5))
            .Shape();
    const TopoDS_Shape outside = BRepAlgoAPI_Cut(
        block, BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(middle - 20, 0, 0), gp_Dir(1, 0, 0)),
                                        recipe.separate ? r : r - 0.2, 40.0)
                   .Shape());
    body = with_addition(recipe, body, placed(outside, at), beside);
  }
  if (recipe.cross_hole) {
    const TopoDS_Shape drill =
        BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(middle, 0, -2.0 * r), gp_Dir(0, 0, 1)), 0.3 * r,
                                 4.0 * r)
            .Shape();
    body = BRepAlgoAPI_Cut(body, placed(drill, at)).Shape();
  }
  if (recipe.bevel_mm > 0.0) {
    // A ring with a conical inside, set so that the bevel is 45°.
    const gp_Trsf end = lay_out(recipe).end;
    const TopoDS_Shape cone =
        BRepPrimAPI_MakeCone(gp_Ax2(gp_Pnt(-2.0 * recipe.bevel_mm, 0, 0), gp_Dir(1, 0, 0)),
                             r + recipe.bevel_mm, r - recipe.bevel_mm - 0.0, 2 * recipe.bevel_mm)
            .Shape();
    const TopoDS_Shape ring = BRepAlgoAPI_Cut(
        BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(-2.0 * recipe.bevel_mm, 0, 0), gp_Dir(1, 0, 0)),
                                 2.0 * r, 2.0 * recipe.bevel_mm)
            .Shape(),
        cone);
    body = BRepAlgoAPI_Cut(body, placed(ring, end)).Shape();
  }
  if (recipe.second_tube) {
    beside.push_back(placed(disc(0, 4.0 * recipe.height_mm, r, r - recipe.wall_mm),
                            at * shift(0, 0, 20.0 * recipe.height_mm)));
  }
  return body;
}

// Whether a plane lies across the centreline at either end.
bool closes_an_end(const Recipe& recipe, const gp_Pln& plane) {
  for (const gp_Trsf& end : {placement(recipe), lay_out(recipe).end}) {
    const gp_Vec ahead = gp_Vec(1, 0, 0).Transformed(end);
    if (plane.Distance(gp_Pnt().Transformed(end)) < 1e-6 &&
        std::abs(ahead.Dot(gp_Vec(plane.Axis().Direction()))) > 0.99) {
      return true;
    }
  }
  return false;
}

// The part of a body's skin that a recipe keeps.
TopoDS_Shape kept(const Recipe& recipe, const TopoDS_Shape& body) {
  if (recipe.keep == Keep::kBody) return body;
  const double inner_mm = 0.5 * recipe.height_mm - recipe.wall_mm;
  std::vector<TopoDS_Shape> faces;
  for (TopExp_Explorer all(body, TopAbs_FACE); all.More(); all.Next()) {
    const BRepAdaptor_Surface surface(TopoDS::Face(all.Current()));
    const bool is_end = surface.GetType() == GeomAbs_Plane;
    const double radius_mm = surface.GetType() == GeomAbs_Cylinder ? surface.Cylinder().Radius()
                             : surface.GetType() == GeomAbs_Torus  ? surface.Torus().MinorRadius()
                                                                   : 0.0;
    const bool is_inner =
        recipe.width_mm <= 0.0 && recipe.wall_mm > 0.0 && std::abs(radius_mm - inner_mm) < 1e-6;
    if (recipe.width_mm <= 0.0 && is_end) continue;
    if (recipe.width_mm > 0.0 && is_end && closes_an_end(recipe, surface.Plane())) continue;
    if (recipe.keep == Keep::kOuterSkin && is_inner) continue;
    faces.push_back(recipe.keep == Keep::kLooseFaces ? BRepBuilderAPI_Copy(all.Current()).Shape()
                                                     : all.Current());
  }
  if (recipe.keep == Keep::kLooseFaces) return compound_of(faces);
  BRepBuilderAPI_Sewing sewing(1e-6);
  for (const TopoDS_Shape& face : faces) sewing.Add(face);
  sewing.Perform();
  return sewing.SewedShape();
}

// Two levels of parts placed in parts, each with a transformation of its own.
TopoDS_Shape as_assembly(const std::vector<TopoDS_Shape>& parts) {
  const gp_Trsf outer = shift(5, -40, 18) * turn(gp_Pnt(), gp_Dir(2, -1, 1), 0.7);
  const gp_Trsf inner = shift(-60, 11, 3) * turn(gp_Pnt(1, 2, 3), gp_Dir(0, 1, 4), -1.3);
  std::vector<TopoDS_Shape> moved;
  for (const TopoDS_Shape& part : parts) {
    moved.push_back(placed(part, (outer * inner).Inverted()).Moved(TopLoc_Location(inner)));
  }
  return compound_of({compound_of(moved).Moved(TopLoc_Location(outer))});
}

void write_shape(const TopoDS_Shape& shape, const std::string& schema, const std::string& unit,
                 const std::string& path, bool assembly = false) {
  STEPControl_Writer writer;
  Interface_Static::SetIVal("write.step.assembly", assembly ? 1 : 0);
  Interface_Static::SetCVal("write.step.schema", schema.c_str());
  Interface_Static::SetCVal("write.step.unit", unit.c_str());
  Interface_Static::SetCVal("write.step.product.name", "made part");
  writer.Model(Standard_True);
  EXPECT_EQ(writer.Transfer(shape, STEPControl_AsIs), IFSelect_RetDone);
  EXPECT_EQ(writer.Write(path.c_str()), IFSelect_RetDone);
}

double volume_of(const TopoDS_Shape& shape) {
  GProp_GProps properties;
  BRepGProp::VolumeProperties(shape, properties, 1e-6);
  return properties.Mass();
}

void take_point(const gp_Trsf& at, bool mirrored, double out[3]) {
  const gp_Pnt p = gp_Pnt().Transformed(at);
  out[0] = p.X();
  out[1] = p.Y();
  out[2] = mirrored ? -p.Z() : p.Z();
}

}  // namespace

Expected write(const Recipe& recipe, const std::string& path) {
  Recipe longer = recipe;  // what the cuts are made from
  const double spare_a = spare_mm(recipe, recipe.cut_a);
  const double spare_b = spare_mm(recipe, recipe.cut_b);
  if (longer.rows.empty()) {
    longer.last_mm += spare_a;
  } else {
    longer.rows.front().straight_mm += spare_a;
  }
  longer.last_mm += spare_b;
  Layout layout = lay_out(longer);
  const gp_Trsf back = placement(recipe) * shift(-spare_a, 0, 0) * placement(recipe).Inverted();
  for (Piece& piece : layout.pieces) piece.at = back * piece.at;
  const Layout wanted = lay_out(recipe);

  TopoDS_Shape body = body_of(longer, layout);
  body = with_cut(recipe, body, looking_out(recipe, wanted, false), recipe.cut_a);
  body = with_cut(recipe, body, looking_out(recipe, wanted, true), recipe.cut_b);
  std::vector<TopoDS_Shape> shapes;
  body = with_additions(recipe, body, shapes);
  shapes.insert(shapes.begin(), kept(recipe, body));
  TopoDS_Shape whole = recipe.assembly      ? as_assembly(shapes)
                       : shapes.size() == 1 ? shapes.front()
                                            : compound_of(shapes);
  if (recipe.mirrored) {
    gp_Trsf mirror;
    mirror.SetMirror(gp_Ax2(gp_Pnt(), gp_Dir(0, 0, 1)));
    whole = placed(whole, mirror);
  }
  write_shape(whole, recipe.schema, recipe.unit, path, recipe.assembly);

  Expected expected{recipe.rows, recipe.last_mm, {}, {}, volume_of(whole)};
  for (Row& row : expected.rows) row.rotation_deg *= recipe.mirrored ? -1.0 : 1.0;
  take_point(placement(recipe), recipe.mirrored, expected.start_mm);
  take_point(wanted.end, recipe.mirrored, expected.end_mm);
  return expected;
}

void write_other(const std::string& kind, const std::string& path) {
  TopoDS_Shape shape = BRepPrimAPI_MakeBox(100, 60, 20).Shape();
  if (kind == "sphere") shape = BRepPrimAPI_MakeSphere(30).Shape();
  if (kind == "ring") shape = BRepPrimAPI_MakeTorus(60, 8).Shape();
  if (kind == "disc") shape = BRepPrimAPI_MakeCylinder(60, 12).Shape();
  if (kind == "plate") {
    for (int i = 0; i < 6; ++i) {
      const gp_Ax2 axes(gp_Pnt(10 + 15 * i, 30, -1), gp_Dir(0, 0, 1));
      shape = BRepAlgoAPI_Cut(shape, BRepPrimAPI_MakeCylinder(axes, 4, 30).Shape()).Shape();
    }
  }
  if (kind == "blocks") {
    std::vector<TopoDS_Shape> blocks;
    for (int i = 0; i < 5; ++i) {
      blocks.push_back(placed(BRepPrimAPI_MakeBox(30, 20, 10 + i).Shape(), shift(40.0 * i, 0, 0)));
    }
    shape = compound_of(blocks);
  }
  if (kind == "elbow-hole") {
    Recipe hole;
    hole.rows = {{80, 0, 90, 40}};
    hole.last_mm = 80;
    hole.wall_mm = 0;
    hole.height_mm = 12;
    hole.turn_deg = 0;
    const TopoDS_Shape block =
        placed(BRepPrimAPI_MakeBox(200, 200, 80).Shape(), shift(11.0, -60, -10));
    shape = BRepAlgoAPI_Cut(block, swept(hole, lay_out(hole))).Shape();
  }
  if (kind == "stepped-shaft") {
    shape = BRepAlgoAPI_Fuse(disc(0, 60, 10, 0), disc(60, 140, 16, 0)).Shape();
    shape = BRepAlgoAPI_Fuse(shape, disc(140, 190, 9, 0)).Shape();
  }
  if (kind == "hose") {
    // Along a free curve that is neither straight nor round anywhere.
    TColgp_Array1OfPnt through(1, 5);
    for (int i = 0; i < 5; ++i) through(i + 1) = gp_Pnt(90 * i, 50 * (i % 2), 11 * i * i);
    const Handle(Geom_BSplineCurve) curve = GeomAPI_PointsToBSpline(through).Curve();
    const TopoDS_Wire along = BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(curve).Edge()).Wire();
    gp_Pnt start;
    gp_Vec ahead;
    curve->D1(curve->FirstParameter(), start, ahead);
    const gp_Circ rim(gp_Ax2(start, gp_Dir(ahead)), 10);
    shape = BRepOffsetAPI_MakePipe(
                along, BRepBuilderAPI_MakeFace(
                           BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(rim).Edge()).Wire())
                           .Face())
                .Shape();
  }
  if (kind == "taper") shape = BRepPrimAPI_MakeCone(20, 12, 400).Shape();
  if (kind == "filleted-box") {
    BRepFilletAPI_MakeFillet fillet(shape);
    for (TopExp_Explorer edges(shape, TopAbs_EDGE); edges.More(); edges.Next()) {
      fillet.Add(5.0, TopoDS::Edge(edges.Current()));
    }
    shape = fillet.Shape();
  }
  write_shape(shape, "AP214IS", "MM", path);
}

KernelView kernel_view(const std::string& path) {
  KernelView view;
  STEPControl_Reader reader;
  if (reader.ReadFile(path.c_str()) != IFSelect_RetDone) return view;
  reader.TransferRoots();
  const TopoDS_Shape shape = reader.OneShape();
  if (shape.IsNull()) return view;
  view.volume_mm3 = volume_of(shape);
  view.valid = BRepCheck_Analyzer(shape).IsValid();
  for (TopExp_Explorer solids(shape, TopAbs_SOLID); solids.More(); solids.Next()) ++view.num_solids;
  TopTools_IndexedMapOfShape faces;
  TopExp::MapShapes(shape, TopAbs_FACE, faces);
  view.num_faces = static_cast<std::size_t>(faces.Extent());
  for (TopExp_Explorer edges(shape, TopAbs_EDGE, TopAbs_FACE); edges.More(); edges.Next()) {
    ++view.num_free_edges;
    GProp_GProps properties;
    BRepGProp::LinearProperties(edges.Current(), properties);
    view.free_length_mm += properties.Mass();
  }
  TColStd_SequenceOfAsciiString lengths;
  TColStd_SequenceOfAsciiString angles;
  TColStd_SequenceOfAsciiString solid_angles;
  reader.FileUnits(lengths, angles, solid_angles);
  if (lengths.Length() > 0) view.unit = lengths.Value(1).ToCString();
  const auto model = reader.WS()->Model();
  for (Standard_Integer i = 1; i <= model->NbEntities(); ++i) {
    const auto product = Handle(StepBasic_Product)::DownCast(model->Value(i));
    if (!product.IsNull()) view.name = product->Name()->ToCString();
  }
  return view;
}

}  // namespace bight::reader::made

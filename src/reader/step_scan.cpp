#include "reader/step_scan.h"

#include <BRepAdaptor_Curve.hxx>
#include <BRepAdaptor_Surface.hxx>
#include <BRepTools.hxx>
#include <BRep_Tool.hxx>
#include <Eigen/Geometry>
#include <Geom2d_Curve.hxx>
#include <HeaderSection_FileSchema.hxx>
#include <Interface_EntityIterator.hxx>
#include <Interface_HArray1OfHAsciiString.hxx>
#include <Message.hxx>
#include <Message_Messenger.hxx>
#include <STEPControl_Reader.hxx>
#include <Standard_ErrorHandler.hxx>
#include <Standard_OutOfMemory.hxx>
#include <StepBasic_MeasureValueMember.hxx>
#include <StepBasic_Product.hxx>
#include <StepBasic_UncertaintyMeasureWithUnit.hxx>
#include <StepData_StepModel.hxx>
#include <StepRepr_RepresentationItem.hxx>
#include <TColStd_Array1OfReal.hxx>
#include <TColStd_SequenceOfAsciiString.hxx>
#include <TopExp.hxx>
#include <TopExp_Explorer.hxx>
#include <TopTools_IndexedMapOfShape.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Face.hxx>
#include <XSControl_TransferReader.hxx>
#include <XSControl_WorkSession.hxx>
#include <algorithm>
#include <cmath>
#include <new>
#include <numbers>

namespace bight::reader {

using base::Failure;

namespace {

// Points around a full circle; an edge takes its share, so that twelve sectors of an end always
// find their points.
constexpr double kPointsPerTurn = 36.0;
constexpr int kPointsOnFreeCurve = 36;

Vec3 vec(const gp_Pnt& p) { return {p.X(), p.Y(), p.Z()}; }
Vec3 vec(const gp_Dir& d) { return {d.X(), d.Y(), d.Z()}; }

std::string text(const Handle(TCollection_HAsciiString) & s) {
  return s.IsNull() ? std::string() : std::string(s->ToCString());
}

struct Range {
  double u0, u1, v0, v1;
};

// Whether the face fills its parameter range: every edge runs along one of its four sides.
bool fills_range(const TopoDS_Face& face, const Range& range) {
  const double u_slack = 1e-6 * (range.u1 - range.u0);
  const double v_slack = 1e-6 * (range.v1 - range.v0);
  for (TopExp_Explorer edges(face, TopAbs_EDGE); edges.More(); edges.Next()) {
    double first = 0.0;
    double last = 0.0;
    const Handle(Geom2d_Curve) curve =
        BRep_Tool::CurveOnSurface(TopoDS::Edge(edges.Current()), face, first, last);
    if (curve.IsNull()) return false;
    const auto near = [](double a, double b, double slack) { return std::abs(a - b) <= slack; };
    bool on_side[4] = {true, true, true, true};
    for (const double t : {first, 0.5 * (first + last), last}) {
      const gp_Pnt2d p = curve->Value(t);
      on_side[0] = on_side[0] && near(p.X(), range.u0, u_slack);
      on_side[1] = on_side[1] && near(p.X(), range.u1, u_slack);
      on_side[2] = on_side[2] && near(p.Y(), range.v0, v_slack);
      on_side[3] = on_side[3] && near(p.Y(), range.v1, v_slack);
    }
    if (!std::any_of(std::begin(on_side), std::end(on_side), [](bool on) { return on; })) {
      return false;
    }
  }
  return true;
}

Sample sample_at(const BRepAdaptor_Surface& surface, double u, double v, bool reversed) {
  gp_Pnt p;
  gp_Vec along_u;
  gp_Vec along_v;
  surface.D1(u, v, p, along_u, along_v);
  const Vec3 normal = Vec3(along_u.X(), along_u.Y(), along_u.Z())
                          .cross(Vec3(along_v.X(), along_v.Y(), along_v.Z()));
  const double length = normal.norm();
  Sample sample{vec(p), Vec3::Zero()};
  if (length > 1e-12) sample.normal = normal * ((reversed ? -1.0 : 1.0) / length);
  return sample;
}

// Kind and parameters as the file names them.
void describe(const BRepAdaptor_Surface& surface, ScanFace& out) {
  switch (surface.GetType()) {
    case GeomAbs_Plane:
      out.kind = SurfaceKind::kPlane;
      out.columns = out.rows = 2;
      break;
    case GeomAbs_Cylinder: {
      const gp_Cylinder cylinder = surface.Cylinder();
      out.kind = SurfaceKind::kCylinder;
      out.origin_mm = vec(cylinder.Location());
      out.axis = vec(cylinder.Axis().Direction());
      out.radius_mm = cylinder.Radius();
      out.columns = 9;
      out.rows = 3;
      break;
    }
    case GeomAbs_Torus: {
      const gp_Torus torus = surface.Torus();
      out.kind = SurfaceKind::kTorus;
      out.origin_mm = vec(torus.Location());
      out.axis = vec(torus.Axis().Direction());
      out.radius_mm = torus.MajorRadius();
      out.minor_mm = torus.MinorRadius();
      out.columns = out.rows = 9;
      break;
    }
    case GeomAbs_Cone:
      out.kind = SurfaceKind::kCone;
      out.axis = vec(surface.Cone().Axis().Direction());
      out.columns = out.rows = 3;
      break;
    case GeomAbs_Sphere:
      out.kind = SurfaceKind::kSphere;
      out.radius_mm = surface.Sphere().Radius();
      out.columns = out.rows = 3;
      break;
    default:
      out.kind = SurfaceKind::kFree;
      out.columns = out.rows = 17;
  }
}

// Parameters at which to cut a range into lines: evenly, or so many to a span of a free-form face
// that each straight and bend it may run along gets enough.
std::vector<double> evenly(double from, double to, std::size_t count) {
  std::vector<double> values;
  for (std::size_t i = 0; i < count; ++i) {
    values.push_back(std::lerp(from, to, static_cast<double>(i) / static_cast<double>(count - 1)));
  }
  return values;
}

std::vector<double> by_spans(const TColStd_Array1OfReal& spans) {
  const int count = spans.Upper() - spans.Lower();
  const int per_span = std::max(4, (16 + count - 1) / count);
  std::vector<double> values;
  for (Standard_Integer i = spans.Lower(); i < spans.Upper(); ++i) {
    for (int k = 0; k < per_span; ++k) {
      values.push_back(std::lerp(spans(i), spans(i + 1), static_cast<double>(k) / per_span));
    }
  }
  values.push_back(spans(spans.Upper()));
  return values;
}

struct Lines {
  std::vector<double> u;
  std::vector<double> v;
};

Lines lines_of(const BRepAdaptor_Surface& surface, const Range& range, const ScanFace& face) {
  constexpr Standard_Integer kMostSpans = 250;
  constexpr std::size_t kMostSamples = 20000;
  Lines even{evenly(range.u0, range.u1, face.columns), evenly(range.v0, range.v1, face.rows)};
  if (surface.GetType() != GeomAbs_BSplineSurface) return even;
  Lines lines = even;
  const Standard_Integer num_u = surface.NbUIntervals(GeomAbs_CN);
  const Standard_Integer num_v = surface.NbVIntervals(GeomAbs_CN);
  if (num_u >= 1 && num_u <= kMostSpans) {
    TColStd_Array1OfReal spans(1, num_u + 1);
    surface.UIntervals(spans, GeomAbs_CN);
    lines.u = by_spans(spans);
  }
  if (num_v >= 1 && num_v <= kMostSpans) {
    TColStd_Array1OfReal spans(1, num_v + 1);
    surface.VIntervals(spans, GeomAbs_CN);
    lines.v = by_spans(spans);
  }
  if (lines.u.size() * lines.v.size() > kMostSamples) {
    // The way along is the one with more spans.
    (num_u > num_v ? lines.v : lines.u) = num_u > num_v ? even.v : even.u;
  }
  return lines;
}

ScanFace scan_face(const TopoDS_Face& face) {
  ScanFace out;
  const BRepAdaptor_Surface surface(face, Standard_True);
  describe(surface, out);
  const Range range{surface.FirstUParameter(), surface.LastUParameter(), surface.FirstVParameter(),
                    surface.LastVParameter()};
  for (const double bound : {range.u0, range.u1, range.v0, range.v1}) {
    if (!std::isfinite(bound) || std::abs(bound) > 1e9) {
      out.columns = out.rows = 0;
      return out;
    }
  }
  out.regular = fills_range(face, range);
  const bool reversed = face.Orientation() == TopAbs_REVERSED;
  const Lines lines = lines_of(surface, range, out);
  out.columns = lines.u.size();
  out.rows = lines.v.size();
  out.grid.reserve(out.columns * out.rows);
  for (const double v : lines.v) {
    for (const double u : lines.u) out.grid.push_back(sample_at(surface, u, v, reversed));
  }
  if (out.kind == SurfaceKind::kPlane) {
    out.origin_mm = out.grid.front().point_mm;
    out.axis = out.grid.front().normal;
  }
  return out;
}

ScanEdge scan_edge(const TopoDS_Edge& edge) {
  ScanEdge out;
  if (BRep_Tool::Degenerated(edge)) return out;
  const BRepAdaptor_Curve curve(edge);
  const double first = curve.FirstParameter();
  const double last = curve.LastParameter();
  if (!std::isfinite(first) || !std::isfinite(last) || std::abs(first) > 1e9 ||
      std::abs(last) > 1e9) {
    return out;
  }
  int num_steps = kPointsOnFreeCurve;
  if (curve.GetType() == GeomAbs_Line) {
    out.kind = CurveKind::kLine;
    num_steps = 2;
  } else if (curve.GetType() == GeomAbs_Circle) {
    out.kind = CurveKind::kCircle;
    const double turns = (last - first) / (2.0 * std::numbers::pi);
    num_steps = std::max(4, static_cast<int>(std::ceil(turns * kPointsPerTurn)));
  }
  for (int i = 0; i <= num_steps; ++i) {
    out.points_mm.push_back(
        vec(curve.Value(std::lerp(first, last, static_cast<double>(i) / num_steps))));
  }
  return out;
}

// Adds one solid, shell or face to the scan.
void add_body(const TopoDS_Shape& shape, std::string name, TopTools_IndexedMapOfShape& known_edges,
              Scan& scan) {
  ScanBody body;
  body.name = std::move(name);
  body.solid = shape.ShapeType() == TopAbs_SOLID;
  for (TopExp_Explorer faces(shape, TopAbs_FACE); faces.More(); faces.Next()) {
    const TopoDS_Face face = TopoDS::Face(faces.Current());
    if (BRep_Tool::Surface(face).IsNull()) continue;
    ScanFace scanned = scan_face(face);
    scanned.body = scan.bodies.size();
    const std::size_t face_index = scan.faces.size();
    for (TopExp_Explorer edges(face, TopAbs_EDGE); edges.More(); edges.Next()) {
      const auto edge_index = static_cast<std::size_t>(known_edges.Add(edges.Current())) - 1;
      if (edge_index == scan.edges.size()) {
        scan.edges.push_back(scan_edge(TopoDS::Edge(edges.Current())));
      }
      ScanEdge& edge = scan.edges[edge_index];
      if (edge.points_mm.empty()) continue;
      if (std::find(scanned.edges.begin(), scanned.edges.end(), edge_index) ==
          scanned.edges.end()) {
        scanned.edges.push_back(edge_index);
        edge.faces.push_back(face_index);
      }
    }
    body.faces.push_back(face_index);
    scan.faces.push_back(std::move(scanned));
  }
  if (!body.faces.empty()) scan.bodies.push_back(std::move(body));
}

// The name the file gives a body, if any.
std::string body_name(const STEPControl_Reader& reader, const TopoDS_Shape& shape) {
  const Handle(XSControl_TransferReader)& transfer = reader.WS()->TransferReader();
  for (const Standard_Integer mode : {-1, 0, 1, 4}) {
    const Handle(Standard_Transient) entity = transfer->EntityFromShapeResult(shape, mode);
    const auto item = Handle(StepRepr_RepresentationItem)::DownCast(entity);
    if (!item.IsNull() && !item->Name().IsNull() && item->Name()->Length() > 0) {
      return text(item->Name());
    }
  }
  return {};
}

void read_labels(const STEPControl_Reader& reader, Scan& scan) {
  const Handle(StepData_StepModel) model =
      Handle(StepData_StepModel)::DownCast(reader.WS()->Model());
  if (model.IsNull()) return;
  const Standard_Integer count = model->NbEntities();
  for (Standard_Integer i = 1; i <= count; ++i) {
    const Handle(Standard_Transient)& entity = model->Value(i);
    if (scan.name.empty() && entity->IsKind(STANDARD_TYPE(StepBasic_Product))) {
      scan.name = text(Handle(StepBasic_Product)::DownCast(entity)->Name());
    } else if (entity->IsKind(STANDARD_TYPE(StepBasic_UncertaintyMeasureWithUnit))) {
      const auto stated = Handle(StepBasic_UncertaintyMeasureWithUnit)::DownCast(entity);
      const Handle(StepBasic_MeasureValueMember) value = stated->ValueComponentMember();
      if (!value.IsNull()) scan.uncertainty_mm = std::max(scan.uncertainty_mm, value->Real());
    }
  }
  const auto schema = Handle(HeaderSection_FileSchema)::DownCast(
      model->HeaderEntity(STANDARD_TYPE(HeaderSection_FileSchema)));
  if (!schema.IsNull() && schema->NbSchemaIdentifiers() > 0) {
    scan.schema = text(schema->SchemaIdentifiersValue(1));
  }
}

double unit_mm(const std::string& unit) {
  if (unit.find("INCH") != std::string::npos || unit.find("inch") != std::string::npos) return 25.4;
  if (unit == "metre" || unit == "METRE") return 1000.0;
  return 1.0;
}

Scan scan_shapes(STEPControl_Reader& reader) {
  Scan scan;
  TColStd_SequenceOfAsciiString lengths;
  TColStd_SequenceOfAsciiString angles;
  TColStd_SequenceOfAsciiString solid_angles;
  reader.FileUnits(lengths, angles, solid_angles);
  if (lengths.Length() > 0) scan.unit = lengths.Value(1).ToCString();
  read_labels(reader, scan);
  scan.uncertainty_mm *= unit_mm(scan.unit);

  const TopoDS_Shape shape = reader.OneShape();
  if (shape.IsNull()) return scan;
  TopTools_IndexedMapOfShape known_edges;
  for (TopExp_Explorer solids(shape, TopAbs_SOLID); solids.More(); solids.Next()) {
    add_body(solids.Current(), body_name(reader, solids.Current()), known_edges, scan);
  }
  for (TopExp_Explorer shells(shape, TopAbs_SHELL, TopAbs_SOLID); shells.More(); shells.Next()) {
    add_body(shells.Current(), body_name(reader, shells.Current()), known_edges, scan);
  }
  for (TopExp_Explorer faces(shape, TopAbs_FACE, TopAbs_SHELL); faces.More(); faces.Next()) {
    add_body(faces.Current(), body_name(reader, faces.Current()), known_edges, scan);
  }
  return scan;
}

Failure syntax(const std::string& what) {
  return {"step.syntax", "", what, "save the part again as STEP (AP203, AP214 or AP242)"};
}

}  // namespace

base::Result<Scan> scan_step(std::istream& input) {
  Message::DefaultMessenger()->ChangePrinters().Clear();
  try {
    OCC_CATCH_SIGNALS
    STEPControl_Reader reader;
    if (reader.ReadStream("input", input) != IFSelect_RetDone) {
      return syntax("this is not a readable STEP file");
    }
    reader.TransferRoots();
    Scan scan = scan_shapes(reader);
    if (scan.faces.empty()) {
      return Failure{"step.empty", "", "the STEP file holds no solid and no surface",
                     "save the tube as a solid"};
    }
    return scan;
  } catch (const Standard_OutOfMemory&) {
    throw std::bad_alloc();
  } catch (const Standard_Failure& failure) {
    const char* what = failure.GetMessageString();
    return syntax(std::string("the STEP file is damaged: ") +
                  (what != nullptr && *what != '\0' ? what : failure.DynamicType()->Name()));
  }
}

}  // namespace bight::reader

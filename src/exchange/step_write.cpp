#include "exchange/step_write.h"

#include <fmt/format.h>

#include <Eigen/Geometry>
#include <cerrno>
#include <cmath>
#include <cstring>
#include <fstream>
#include <optional>

#include "exchange/step_text.h"

namespace bight::exchange {

using base::Failure;
using geometry::Frame;
using geometry::Segment;
using geometry::Vec3;

namespace {

// A side of the section's outline from one vertex to the next, anticlockwise seen against the
// direction of travel; y along the height, z along the width.
struct Side {
  double y_mm = 0.0;  // its first vertex
  double z_mm = 0.0;
  bool arc = false;
  double centre_y_mm = 0.0;  // of an arc
  double centre_z_mm = 0.0;
  double radius_mm = 0.0;
};
using Outline = std::vector<Side>;

// A cross-section placed in space.
struct Station {
  Vec3 origin_mm = Vec3::Zero();
  Vec3 ahead = Vec3::UnitX();
  Vec3 height = Vec3::UnitY();
  Vec3 width = Vec3::UnitZ();

  Vec3 at(double y_mm, double z_mm) const { return origin_mm + height * y_mm + width * z_mm; }
};

constexpr double kNoLength_mm = 1e-9;

Outline circle_outline(double radius_mm) {
  // Two halves: no seam, and no face that closes on itself.
  return {{radius_mm, 0.0, true, 0.0, 0.0, radius_mm},
          {-radius_mm, 0.0, true, 0.0, 0.0, radius_mm}};
}

Outline rect_outline(double height_mm, double width_mm, double corner_mm) {
  const double y = 0.5 * height_mm;
  const double z = 0.5 * width_mm;
  const double r = corner_mm;
  Outline outline;
  const double sign_y[] = {1.0, -1.0, -1.0, 1.0};
  const double sign_z[] = {1.0, 1.0, -1.0, -1.0};
  for (int i = 0; i < 4; ++i) {
    const double cy = sign_y[i] * (y - r);
    const double cz = sign_z[i] * (z - r);
    const bool upright = i % 2 == 0;  // the corner begins on a side across the height
    if (r <= 0.0) {
      outline.push_back({sign_y[i] * y, sign_z[i] * z});
      continue;
    }
    const Side corner{upright ? sign_y[i] * y : cy, upright ? cz : sign_z[i] * z, true, cy, cz, r};
    outline.push_back(corner);
    // Corners as large as the half side leave no side between them.
    if ((upright ? y : z) - r < kNoLength_mm) continue;
    outline.push_back({upright ? cy : sign_y[i] * y, upright ? sign_z[i] * z : cz});
  }
  return outline;
}

std::vector<Outline> outlines_of(const stock::Section& section) {
  const double wall_mm = section.wall_mm();
  std::vector<Outline> outlines;
  if (section.round()) {
    outlines.push_back(circle_outline(0.5 * section.height_mm()));
    if (section.hollow()) outlines.push_back(circle_outline(0.5 * section.height_mm() - wall_mm));
    return outlines;
  }
  const double corner_mm = section.corner_radius_mm();
  outlines.push_back(rect_outline(section.height_mm(), section.width_mm(), corner_mm));
  if (section.hollow()) {
    outlines.push_back(rect_outline(section.height_mm() - 2.0 * wall_mm,
                                    section.width_mm() - 2.0 * wall_mm,
                                    std::max(0.0, corner_mm - wall_mm)));
  }
  return outlines;
}

// The solid, face by face.
class Solid {
 public:
  Solid(StepText& text, std::vector<Outline> outlines)
      : text_(text), outlines_(std::move(outlines)) {}

  void start(const Station& station) {
    station_ = station;
    vertices_ = vertices_at(station);
    rims_ = rims_at(station, vertices_);
    cap(false);
  }

  // One straight or arc from the present station to the next.
  void sweep(const Segment& segment, const Station& next) {
    const auto next_vertices = vertices_at(next);
    const auto next_rims = rims_at(next, next_vertices);
    for (std::size_t loop = 0; loop < outlines_.size(); ++loop) {
      const Outline& outline = outlines_[loop];
      std::vector<StepName> runs;
      for (std::size_t i = 0; i < outline.size(); ++i) {
        runs.push_back(run(segment, station_.at(outline[i].y_mm, outline[i].z_mm),
                           vertices_[loop][i], next_vertices[loop][i]));
      }
      for (std::size_t i = 0; i < outline.size(); ++i) {
        const std::size_t k = (i + 1) % outline.size();
        side_face(segment, loop, i, {rims_[loop][i], runs[k], next_rims[loop][i], runs[i]});
      }
    }
    station_ = next;
    vertices_ = next_vertices;
    rims_ = next_rims;
  }

  StepName finish(const std::string& name) {
    cap(true);
    const StepName shell = text_.add("CLOSED_SHELL(''," + step_list(faces_) + ")");
    return text_.add("MANIFOLD_SOLID_BREP(" + step_string(name) + "," + shell + ")");
  }

 private:
  using Names = std::vector<std::vector<StepName>>;

  Names vertices_at(const Station& station) {
    Names names;
    for (const Outline& outline : outlines_) {
      names.emplace_back();
      for (const Side& side : outline) {
        const StepName point = text_.point(station.at(side.y_mm, side.z_mm));
        names.back().push_back(text_.add("VERTEX_POINT(''," + point + ")"));
      }
    }
    return names;
  }

  StepName edge(const StepName& from, const StepName& to, const StepName& curve) {
    return text_.add(fmt::format("EDGE_CURVE('',{},{},{},.T.)", from, to, curve));
  }

  Names rims_at(const Station& station, const Names& vertices) {
    Names names;
    for (std::size_t loop = 0; loop < outlines_.size(); ++loop) {
      const Outline& outline = outlines_[loop];
      names.emplace_back();
      for (std::size_t i = 0; i < outline.size(); ++i) {
        const std::size_t k = (i + 1) % outline.size();
        const Side& side = outline[i];
        const Vec3 from = station.at(side.y_mm, side.z_mm);
        StepName curve;
        if (side.arc) {
          const Vec3 centre = station.at(side.centre_y_mm, side.centre_z_mm);
          curve = text_.circle(centre, station.ahead, (from - centre).normalized(), side.radius_mm);
        } else {
          curve =
              text_.line(from, (station.at(outline[k].y_mm, outline[k].z_mm) - from).normalized());
        }
        names.back().push_back(edge(vertices[loop][i], vertices[loop][k], curve));
      }
    }
    return names;
  }

  // The way of one vertex along a segment.
  StepName run(const Segment& segment, const Vec3& from, const StepName& first,
               const StepName& last) {
    if (!segment.is_arc()) return edge(first, last, text_.line(from, segment.start.ahead));
    const Frame& frame = segment.start;
    const Vec3 v = from - segment.centre_mm();
    const Vec3 up = frame.normal * v.dot(frame.normal);
    const Vec3 centre = segment.centre_mm() + up;
    const Vec3 radial = v - up;
    return edge(first, last,
                text_.circle(centre, frame.normal, radial.normalized(), radial.norm()));
  }

  StepName bound(const char* kind, const std::vector<std::pair<StepName, bool>>& edges) {
    std::vector<StepName> oriented;
    for (const auto& [name, forward] : edges) {
      oriented.push_back(
          text_.add(fmt::format("ORIENTED_EDGE('',*,*,{},{})", name, forward ? ".T." : ".F.")));
    }
    const StepName loop = text_.add("EDGE_LOOP(''," + step_list(oriented) + ")");
    return text_.add(fmt::format("{}('',{},.T.)", kind, loop));
  }

  void face(const std::vector<StepName>& bounds, const StepName& surface, bool same_sense) {
    faces_.push_back(text_.add(fmt::format("ADVANCED_FACE('',{},{},{})", step_list(bounds), surface,
                                           same_sense ? ".T." : ".F.")));
  }

  // Rim, run, next rim, run: anticlockwise seen from outside the outline.
  struct Four {
    StepName rim, far_run, next_rim, near_run;
  };
  void side_face(const Segment& segment, std::size_t loop, std::size_t index, const Four& four) {
    const bool outer = loop == 0;
    const Outline& outline = outlines_[loop];
    const Side& side = outline[index];
    const Side& next = outline[(index + 1) % outline.size()];
    std::vector<std::pair<StepName, bool>> edges = {
        {four.rim, true}, {four.far_run, true}, {four.next_rim, false}, {four.near_run, false}};
    if (!outer) {  // seen from the bore the same way round
      edges = {
          {four.near_run, true}, {four.next_rim, true}, {four.far_run, false}, {four.rim, false}};
    }
    const StepName limits = bound("FACE_OUTER_BOUND", edges);
    const Vec3 from = station_.at(side.y_mm, side.z_mm);
    if (side.arc) {
      const Vec3 centre = station_.at(side.centre_y_mm, side.centre_z_mm);
      face({limits}, round_surface(segment, centre, from, side.radius_mm), outer);
      return;
    }
    // Outwards from the outline's inside: along the side turned clockwise.
    const Vec3 along = (station_.at(next.y_mm, next.z_mm) - from).normalized();
    const Vec3 outwards = along.cross(segment.start.ahead);
    flat_side(segment, from, outwards, along, limits, outer);
  }

  StepName round_surface(const Segment& segment, const Vec3& centre, const Vec3& from,
                         double radius_mm) {
    const Frame& frame = segment.start;
    if (!segment.is_arc()) {
      const StepName place = text_.placement(centre, frame.ahead, (from - centre).normalized());
      return text_.add(
          fmt::format("CYLINDRICAL_SURFACE('',{},{})", place, text_.length(radius_mm)));
    }
    const Vec3 v = centre - segment.centre_mm();
    const Vec3 up = frame.normal * v.dot(frame.normal);
    const StepName place =
        text_.placement(segment.centre_mm() + up, frame.normal, (v - up).normalized());
    return text_.add(fmt::format("TOROIDAL_SURFACE('',{},{},{})", place,
                                 text_.length((v - up).norm()), text_.length(radius_mm)));
  }

  // A straight side of the outline: a plane, or a cylinder where it goes round a bend.
  void flat_side(const Segment& segment, const Vec3& from, const Vec3& outwards, const Vec3& along,
                 const StepName& limits, bool outer) {
    const Frame& frame = segment.start;
    const bool round_the_bend = segment.is_arc() && std::abs(outwards.dot(frame.normal)) < 0.5;
    if (!round_the_bend) {
      const StepName place = text_.placement(from, outwards, along);
      face({limits}, text_.add("PLANE(''," + place + ")"), outer);
      return;
    }
    const Vec3 v = from - segment.centre_mm();
    const Vec3 up = frame.normal * v.dot(frame.normal);
    const Vec3 radial = v - up;
    const StepName place =
        text_.placement(segment.centre_mm() + up, frame.normal, radial.normalized());
    const StepName surface =
        text_.add(fmt::format("CYLINDRICAL_SURFACE('',{},{})", place, text_.length(radial.norm())));
    // The cylinder looks away from the bend's axis; a bore looks inwards.
    face({limits}, surface, (radial.dot(outwards) > 0.0) == outer);
  }

  // A flat end at the present station.
  void cap(bool at_end) {
    std::vector<StepName> bounds;
    for (std::size_t loop = 0; loop < outlines_.size(); ++loop) {
      const bool forward = at_end == (loop == 0);
      std::vector<std::pair<StepName, bool>> edges;
      for (const StepName& rim : rims_[loop]) edges.emplace_back(rim, forward);
      if (!forward) std::reverse(edges.begin(), edges.end());
      bounds.push_back(bound(loop == 0 ? "FACE_OUTER_BOUND" : "FACE_BOUND", edges));
    }
    const StepName place = text_.placement(
        station_.origin_mm, at_end ? station_.ahead : Vec3(-station_.ahead), station_.height);
    face(bounds, text_.add("PLANE(''," + place + ")"), true);
  }

  StepText& text_;
  std::vector<Outline> outlines_;
  Station station_;
  Names vertices_;
  Names rims_;
  std::vector<StepName> faces_;
};

// The centreline as one curve of trimmed lines and circles.
StepName centreline_curve(StepText& text, const geometry::Centreline& line) {
  std::vector<StepName> pieces;
  for (const Segment& segment : line.segments) {
    if (segment.length_mm < kNoLength_mm) continue;
    const StepName from = text.point(segment.start.origin_mm);
    const StepName to = text.point(segment.at(segment.length_mm).origin_mm);
    const StepName curve = segment.is_arc()
                               ? text.circle(segment.centre_mm(), segment.start.normal,
                                             -segment.start.inward, segment.radius_mm)
                               : text.line(segment.start.origin_mm, segment.start.ahead);
    const std::string end =
        segment.is_arc() ? step_real(segment.angle.rad()) : text.length(segment.length_mm);
    const StepName trimmed = text.add(
        fmt::format("TRIMMED_CURVE('',{},({},PARAMETER_VALUE(0.)),({},PARAMETER_VALUE({})),.T.,"
                    ".PARAMETER.)",
                    curve, from, to, end));
    pieces.push_back(
        text.add(fmt::format("COMPOSITE_CURVE_SEGMENT(.CONTINUOUS.,.T.,{})", trimmed)));
  }
  const StepName whole = text.add("COMPOSITE_CURVE('centreline'," + step_list(pieces) + ",.F.)");
  return text.add("GEOMETRIC_CURVE_SET('centreline',(" + whole + "))");
}

// Length, angle and solid angle units and how exact the numbers are.
StepName context(StepText& text, StepUnit unit) {
  StepName length = text.add("(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))");
  if (unit == StepUnit::kInch) {
    const StepName measure =
        text.add(fmt::format("LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(25.4),{})", length));
    const StepName size = text.add("DIMENSIONAL_EXPONENTS(1.,0.,0.,0.,0.,0.,0.)");
    length = text.add(fmt::format("(CONVERSION_BASED_UNIT('INCH',{})LENGTH_UNIT()NAMED_UNIT({}))",
                                  measure, size));
  }
  const StepName angle = text.add("(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))");
  const StepName solid = text.add("(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT())");
  const StepName exact = text.add(fmt::format(
      "UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE({}),{},'distance_accuracy_value','')",
      text.length(1e-6), length));
  return text.add(
      fmt::format("(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT(({}))"
                  "GLOBAL_UNIT_ASSIGNED_CONTEXT(({},{},{}))REPRESENTATION_CONTEXT('',''))",
                  exact, length, angle, solid));
}

// The product, and the two representations of its shape.
void product(StepText& text, const std::string& name, StepUnit unit, const StepName& solid,
             const StepName& curve) {
  const std::string called = step_string(name);
  const StepName application = text.add("APPLICATION_CONTEXT('automotive design')");
  text.add("APPLICATION_PROTOCOL_DEFINITION('international standard','automotive_design',2000," +
           application + ")");
  const StepName setting = text.add("PRODUCT_CONTEXT(''," + application + ",'mechanical')");
  const StepName item = text.add(fmt::format("PRODUCT({0},{0},'',({1}))", called, setting));
  text.add(fmt::format("PRODUCT_RELATED_PRODUCT_CATEGORY('part',$,({}))", item));
  const StepName formation = text.add("PRODUCT_DEFINITION_FORMATION('',''," + item + ")");
  const StepName stage =
      text.add("PRODUCT_DEFINITION_CONTEXT('part definition'," + application + ",'design')");
  const StepName definition =
      text.add(fmt::format("PRODUCT_DEFINITION('design','',{},{})", formation, stage));
  const StepName shape = text.add("PRODUCT_DEFINITION_SHAPE('',''," + definition + ")");
  const StepName units = context(text, unit);
  const StepName origin = text.placement(Vec3::Zero(), Vec3::UnitZ(), Vec3::UnitX());
  const StepName body = text.add(fmt::format("ADVANCED_BREP_SHAPE_REPRESENTATION({},({},{}),{})",
                                             called, origin, solid, units));
  text.add(fmt::format("SHAPE_DEFINITION_REPRESENTATION({},{})", shape, body));
  const StepName wire = text.add(
      fmt::format("GEOMETRICALLY_BOUNDED_WIREFRAME_SHAPE_REPRESENTATION('centreline',({},{}),{})",
                  origin, curve, units));
  text.add(fmt::format("SHAPE_REPRESENTATION_RELATIONSHIP('','',{},{})", body, wire));
}

base::Status check(const stock::Section& section, const geometry::Centreline& line) {
  double length_mm = 0.0;
  for (std::size_t i = 0; i < line.segments.size(); ++i) {
    const Segment& segment = line.segments[i];
    const std::string where = segment.is_arc() ? fmt::format("bend {}", i / 2 + 1)
                                               : fmt::format("straight {}", i / 2 + 1);
    if (segment.length_mm < -kNoLength_mm) {
      return Failure{
          "step.overlap", where,
          fmt::format("its length is {:.3f} mm: the bends beside it overlap", segment.length_mm),
          "make the radii smaller or the leg longer"};
    }
    const double half_mm = section.round()
                               ? 0.5 * section.height_mm()
                               : 0.5 * std::max(section.height_mm(), section.width_mm());
    if (segment.is_arc() && segment.radius_mm <= half_mm) {
      return Failure{"step.radius", where,
                     fmt::format("a centreline radius of {:.3f} mm lies inside the section",
                                 segment.radius_mm),
                     fmt::format("use more than {:.3f} mm", half_mm)};
    }
    length_mm += segment.length_mm;
  }
  if (length_mm < kNoLength_mm) {
    return Failure{"step.length", "", "the part has no length", "give it a straight or a bend"};
  }
  return base::Done{};
}

// Sweeps the section along the line; a failure when a rectangle meets a bend askew.
base::Result<StepName> sweep(StepText& text, const stock::Section& section,
                             const geometry::Centreline& line, const std::string& name) {
  Solid solid(text, outlines_of(section));
  const Frame& first = line.segments.front().start;
  Station station{first.origin_mm, first.ahead, first.inward, first.normal};
  solid.start(station);
  for (std::size_t i = 0; i < line.segments.size(); ++i) {
    const Segment& segment = line.segments[i];
    const Frame& frame = segment.start;
    const double inward = station.height.dot(frame.inward);
    const double normal = station.height.dot(frame.normal);
    if (segment.is_arc() && !section.round() && std::abs(inward * normal) > 1e-9) {
      return Failure{"step.rotation", fmt::format("bend {}", i / 2 + 1),
                     "its plane lies askew to the sides of the section",
                     "turn the planes of a rectangular section by quarter turns"};
    }
    if (segment.length_mm < kNoLength_mm) continue;
    const Frame end = segment.at(segment.length_mm);
    Station next{end.origin_mm, end.ahead, end.inward * inward + end.normal * normal,
                 end.normal * inward - end.inward * normal};
    solid.sweep(segment, next);
    station = next;
  }
  return solid.finish(name);
}

}  // namespace

base::Result<std::string> step_text(const stock::Section& section, const geometry::Centreline& line,
                                    const StepWriteOptions& options) {
  BIGHT_TRY([[maybe_unused]] const base::Done checked, check(section, line));
  StepText text(options.unit == StepUnit::kInch ? 25.4 : 1.0);
  BIGHT_TRY(const StepName solid, sweep(text, section, line, options.name));
  const StepName curve = centreline_curve(text, line);
  product(text, options.name, options.unit, solid, curve);
  return "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION(('bent tube with centreline'),'2;1');\n"
         "FILE_NAME(" +
         step_string(options.name) + "," + step_string(options.written) +
         ",(''),(''),'Bight','Bight','');\n"
         "FILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }'));\nENDSEC;\nDATA;\n" +
         text.data() + "ENDSEC;\nEND-ISO-10303-21;\n";
}

base::Status write_step(const std::string& path, const stock::Section& section,
                        const geometry::Centreline& line, const StepWriteOptions& options) {
  BIGHT_TRY(const std::string text, step_text(section, line, options));
  std::ofstream file(path, std::ios::binary | std::ios::trunc);
  file << text;
  file.close();
  if (!file) {
    return Failure{"step.write", path,
                   std::string("the file cannot be written: ") + std::strerror(errno),
                   "choose a folder you may write to"};
  }
  return base::Done{};
}

}  // namespace bight::exchange

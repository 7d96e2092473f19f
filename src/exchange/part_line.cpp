#include "exchange/part_line.h"

#include <fmt/format.h>

#include <Eigen/Geometry>
#include <cmath>

#include "exchange/part_shape.h"
#include "exchange/part_toml.h"
#include "geometry/corners.h"
#include "geometry/faces.h"

namespace bight::exchange {

using base::Angle;
using base::Failure;
using geometry::BendRow;
using geometry::BendTable;
using geometry::Face;
using part::Finding;
using part::Severity;

namespace {

const std::vector<std::string_view> kFaceWords = {"centre", "outside", "inside", "left", "right"};

struct LineHeader {
  Face drawn_to = Face::kCentre;
  Face radius_to = Face::kCentre;
  bool included = false;            // angles are included angles
  bool absolute_rotations = false;  // rotations count from the first bend's plane
};

LineHeader read_header(Fields& f, Line& line) {
  LineHeader header;
  header.drawn_to = static_cast<Face>(f.choice("dimensions_to", kFaceWords).value_or(0));
  header.radius_to =
      static_cast<Face>(f.choice("radius_to", {"centre", "outside", "inside"}).value_or(0));
  header.included = f.choice("angles", {"bend", "included"}).value_or(0) == 1;
  header.absolute_rotations = f.choice("rotations", {"relative", "absolute"}).value_or(0) == 1;
  line.radii_are_die = f.choice("radius_is", {"part", "die"}).value_or(0) == 1;
  return header;
}

Finding tidied_note(std::string code, std::string message) {
  return {
      Severity::kNote, std::move(code), std::nullopt, std::move(message), "", "the part file", {}};
}

base::Status read_corners(Fields& f, const LineHeader& header, double size_mm, Line& line) {
  std::vector<geometry::Vec3> points;
  for (const auto& row : f.length_rows_mm("corners", 3, kMostBends + 2)
                             .value_or(std::vector<std::vector<double>>{})) {
    points.emplace_back(row[0], row[1], row[2]);
  }
  BIGHT_TRY(base::Done rows_read, f.status());
  static_cast<void>(rows_read);
  const std::size_t num_inner = points.size() < 2 ? 0 : points.size() - 2;
  const std::optional<double> one = f.length_mm("radius");
  std::vector<double> radii;
  if (const auto many = f.lengths_mm("radii")) {
    if (one) f.complain("radii", "part.radius", "both radius and radii are given", "keep one");
    radii = *many;
  } else if (one) {
    radii.assign(num_inner, *one);
  } else if (num_inner > 0) {
    f.complain("radius", "part.radius", "the corners have no radius",
               "give radius, or radii with one for each inner corner");
  }
  BIGHT_TRY(base::Done radii_read, f.status());
  static_cast<void>(radii_read);
  for (double& radius_mm : radii) {
    radius_mm = geometry::centreline_radius_mm(radius_mm, header.radius_to, size_mm);
  }
  const auto at_corners = [&](Failure failure) {
    failure.where = f.where("corners") + (failure.where.empty() ? "" : ", " + failure.where);
    return failure;
  };
  base::Result<std::vector<geometry::Vec3>> centre =
      geometry::centreline_from_face(points, header.drawn_to, size_mm);
  if (!centre.ok()) return at_corners(centre.failure());
  base::Result<geometry::FromCorners> from = geometry::to_bend_table(*centre, radii);
  if (!from.ok()) return at_corners(from.failure());
  line.table = from->table;
  line.start = from->start;
  for (const geometry::CornerNote& note : from->notes) {
    line.findings.push_back(tidied_note(note.code, note.message));
  }
  return base::Done{};
}

BendRow read_line_row(Fields& f, const LineHeader& header, std::optional<double> radius_mm,
                      double size_mm) {
  BendRow row;
  row.straight_mm = f.need_length_mm("straight");
  row.rotation = f.angle("rotation").value_or(Angle());
  if (f.has("included") == f.has("angle")) {
    f.complain("angle", "key.missing", "the bend needs either angle or included",
               "angle is the change of direction, 0 for straight; included is 180 less that");
  }
  if (const auto included = f.angle("included")) {
    row.angle = Angle::degrees(180) - *included;
  } else {
    row.angle = f.angle("angle").value_or(Angle());
    if (header.included) row.angle = Angle::degrees(180) - row.angle;
  }
  const std::optional<double> own_mm = f.length_mm("radius");
  if (!own_mm && !radius_mm) {
    f.complain("radius", "part.radius", "the bend has no radius",
               "give radius here, or once for the whole line");
  }
  row.radius_mm = geometry::centreline_radius_mm(own_mm.value_or(radius_mm.value_or(0.0)),
                                                 header.radius_to, size_mm);
  return row;
}

// Where end A lies and which way the tube starts, when the bends alone do not say.
void read_start(Fields& line_fields, Line& line) {
  std::optional<Fields> start = line_fields.table("start");
  if (!start) return;
  Fields& f = *start;
  const auto vector = [&](const char* key, const std::optional<std::vector<double>>& numbers) {
    if (numbers && numbers->size() == 3) {
      return geometry::Vec3((*numbers)[0], (*numbers)[1], (*numbers)[2]);
    }
    f.complain(key, "key.value", "this needs three numbers", "give [x, y, z]");
    return geometry::Vec3(0, 0, 0);
  };
  line.start.origin_mm = vector("at", f.lengths_mm("at"));
  line.start.ahead = vector("ahead", f.numbers("ahead"));
  line.start.inward = vector("inward", f.numbers("inward"));
  line.start.normal = line.start.ahead.cross(line.start.inward);
  constexpr double kSquare = 1e-9;
  if (std::abs(line.start.ahead.norm() - 1.0) > kSquare ||
      std::abs(line.start.inward.norm() - 1.0) > kSquare ||
      std::abs(line.start.ahead.dot(line.start.inward)) > kSquare) {
    f.complain("ahead", "key.value", "ahead and inward are not of length one and square",
               "such as ahead = [1, 0, 0], inward = [0, 1, 0]");
  }
  f.no_others();
  line_fields.adopt(f);
}

base::Status read_bends(Fields& f, const LineHeader& header, double size_mm, Line& line) {
  std::vector<Fields> list = f.tables("bends");
  const std::optional<double> radius_mm = f.length_mm("radius");
  const double last_mm = f.need_length_mm("last");
  read_start(f, line);
  std::vector<BendRow> rows;
  if (list.size() > kMostBends) {
    f.complain(
        "bends", "key.value",
        fmt::format("{} bends are more than a tube has (at most {})", list.size(), kMostBends),
        "split the part");
  }
  BIGHT_TRY(const base::Done header_read, f.status());
  static_cast<void>(header_read);
  Angle plane;
  for (Fields& fields : list) {
    BendRow row = read_line_row(fields, header, radius_mm, size_mm);
    fields.no_others();
    f.adopt(fields);
    if (header.absolute_rotations) {
      const Angle absolute = row.rotation;
      row.rotation = absolute - plane;
      plane = absolute;
    }
    rows.push_back(row);
  }
  BIGHT_TRY(base::Done bends_read, f.status());
  static_cast<void>(bends_read);
  std::vector<geometry::TableNote> notes;
  base::Result<BendTable> table = BendTable::make(std::move(rows), last_mm, &notes);
  if (!table.ok()) {
    Failure failure = table.failure();
    failure.where = f.where("bends") + ", " + failure.where;
    return failure;
  }
  line.table = *table;
  for (const geometry::TableNote& note : notes) {
    line.findings.push_back(tidied_note(note.code, note.message));
  }
  return base::Done{};
}

}  // namespace

base::Result<Line> read_line(Fields f, double size_mm) {
  base::Result<BendTable> nothing = BendTable::make({}, 1.0);
  Line line{*nothing, geometry::Frame(), false, {}};
  const LineHeader header = read_header(f, line);
  const int ways = (f.has("corners") ? 1 : 0) + (f.has("bends") ? 1 : 0) + (f.has("shape") ? 1 : 0);
  if (ways != 1) {
    f.complain("corners", "part.line",
               ways == 0 ? "the line has neither corners nor bends nor a shape"
                         : "the line is given in more than one way",
               "give exactly one of: corners, bends, shape");
  }
  if (f.has("bends") && header.drawn_to != Face::kCentre) {
    f.complain("dimensions_to", "key.value", "a bend table runs along the centreline",
               "leave dimensions_to out, or give corners");
  }
  BIGHT_TRY(base::Done header_read, f.status());
  static_cast<void>(header_read);
  if (f.has("corners")) {
    BIGHT_TRY(base::Done done, read_corners(f, header, size_mm, line));
    static_cast<void>(done);
  } else if (f.has("bends")) {
    BIGHT_TRY(base::Done done, read_bends(f, header, size_mm, line));
    static_cast<void>(done);
  } else {
    BIGHT_TRY(const geometry::Shape shape, read_shape(f, header.drawn_to, size_mm));
    if (shape.table.num_bends() > kMostBends) {
      f.complain("shape", "key.value",
                 fmt::format("this shape takes {} bends, more than a tube has (at most {})",
                             shape.table.num_bends(), kMostBends),
                 "fewer turns, or fewer arcs_per_turn");
    }
    line.table = shape.table;
    line.start = shape.start;
  }
  f.no_others();
  BIGHT_TRY(base::Done all_read, f.status());
  static_cast<void>(all_read);
  return line;
}

}  // namespace bight::exchange

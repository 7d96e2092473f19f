#include "service/line_answer.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "exchange/complaints.h"
#include "exchange/exact_text.h"
#include "exchange/exact_value.h"
#include "exchange/json_numbers.h"
#include "exchange/part_toml_write.h"
#include "exchange/plan_json.h"
#include "geometry/centreline.h"
#include "planning/shape_findings.h"
#include "service/request.h"

namespace bight::service {

using base::Failure;
using base::LengthUnit;
using base::Result;
using exchange::point_json;
using exchange::tidy;
using Json = nlohmann::ordered_json;

namespace {

Json row_json(const geometry::BendRow& row) {
  return {{"straight_mm", tidy(row.straight_mm)},
          {"rotation_deg", tidy(row.rotation.deg())},
          {"angle_deg", tidy(row.angle.deg())},
          {"radius_mm", tidy(row.radius_mm)}};
}

Json segment_json(const geometry::Segment& segment, const geometry::Vec3& to, std::size_t bend) {
  Json json = {{"kind", segment.is_arc() ? "arc" : "straight"},
               {"from", point_json(segment.start.origin_mm)},
               {"to", point_json(to)},
               {"length_mm", tidy(segment.length_mm)}};
  if (!segment.is_arc()) return json;
  json["bend"] = bend;
  json["centre"] = point_json(segment.centre_mm());
  json["axis"] = point_json(segment.start.normal);
  json["radius_mm"] = tidy(segment.radius_mm);
  json["angle_deg"] = tidy(segment.angle.deg());
  return json;
}

// A corner found through a table of bends lies off the place it was typed at by what was rounded on
// the way, some millionths of a millimetre in a long part: a number so near to a round one of the
// document's unit is that one.
Json corner_value(double value_mm, LengthUnit unit) {
  const bool inch = unit == LengthUnit::kInch;
  const double unit_mm = inch ? 25.4 : 1.0;
  const double per_unit = inch ? 1e6 : 1e4;
  const double round = std::round(value_mm / unit_mm * per_unit) / per_unit;
  if (std::abs(round * unit_mm - value_mm) < 1e-6) return exchange::number_value(round + 0.0);
  return exchange::length_value(tidy(value_mm), unit);
}

Result<Json> corners_line(const exchange::Line& line, LengthUnit unit) {
  Json radii = Json::array();
  bool one = true;
  for (std::size_t i = 0; i < line.table.num_bends(); ++i) {
    const geometry::BendRow& row = line.table.rows()[i];
    if (row.angle > kMostAtCorner) {
      return Failure{"part.corners", "line.bends, bend " + std::to_string(i + 1),
                     "a bend of more than 150° has no corner that a drawing could show",
                     "keep the part as bends"};
    }
    one = one && row.radius_mm == line.table.rows().front().radius_mm;
    radii.push_back(exchange::length_value(row.radius_mm, unit));
  }
  Json out;
  out["corners"] = Json::array();
  for (const geometry::Vec3& p : geometry::corner_points_mm(line.table, line.start)) {
    out["corners"].push_back(
        {corner_value(p.x(), unit), corner_value(p.y(), unit), corner_value(p.z(), unit)});
  }
  if (one && !radii.empty()) {
    out["radius"] = radii.front();
  } else if (!radii.empty()) {
    out["radii"] = std::move(radii);
  }
  if (line.radii_are_die) out["radius_is"] = "die";
  return out;
}

LengthUnit unit_of(const Json& document) {
  const auto found = document.find("units");
  const bool inch = found != document.end() && found->is_string() && *found == "in";
  return inch ? LengthUnit::kInch : LengthUnit::kMillimetre;
}

const char* unit_word(LengthUnit unit) { return unit == LengthUnit::kInch ? "in" : "mm"; }

}  // namespace

Json line_json(const geometry::BendTable& table, const geometry::Frame& start) {
  Json rows = Json::array();
  for (const geometry::BendRow& row : table.rows()) rows.push_back(row_json(row));
  Json corners = Json::array();
  for (const geometry::Vec3& p : geometry::corner_points_mm(table, start)) {
    corners.push_back(point_json(p));
  }
  const geometry::Centreline line = geometry::lay_out(table, start);
  Json segments = Json::array();
  for (std::size_t i = 0; i < line.segments.size(); ++i) {
    const geometry::Vec3 to =
        i + 1 < line.segments.size() ? line.segments[i + 1].start.origin_mm : line.end.origin_mm;
    segments.push_back(segment_json(line.segments[i], to, i / 2 + 1));
  }
  return {{"bend_table", rows},
          {"last_straight_mm", tidy(table.last_straight_mm())},
          {"corners_mm", corners},
          {"developed_length_mm", tidy(table.developed_length_mm())},
          {"start",
           {{"at", point_json(start.origin_mm)},
            {"ahead", point_json(start.ahead)},
            {"inward", point_json(start.inward)}}},
          {"segments", segments}};
}

Result<exchange::Line> line_of(const exchange::Document& document) {
  const Result<exchange::PartFile> file = exchange::read_part(document);
  if (file.ok()) {
    return exchange::Line{file->part.table, file->part.start, file->part.radii_are_die, {}};
  }
  exchange::Fields top(document);
  BIGHT_TRY(base::Done done, exchange::read_rules(top, "part.schema"));
  const std::optional<exchange::Fields> fields = top.table("line");
  BIGHT_TRY(done, top.status());
  static_cast<void>(done);
  if (!fields) return file.failure();
  return exchange::read_line(*fields, 0.0);
}

Result<Json> check_part(const Json& value, const std::string& units, exchange::KnownMetals metals) {
  const exchange::Document document = exchange::document_of(value, "", std::move(metals));
  const LengthUnit own = unit_of(value);
  BIGHT_TRY(const base::LengthStyle style, style_of(units, own));
  Json out = {{"errors", Json::array()},
              {"part", nullptr},
              {"table", nullptr},
              {"findings", Json::array()},
              {"units", unit_word(own)}};
  const Result<exchange::PartFile> file = exchange::read_part(document);
  if (!file.ok()) {
    out["errors"] = complaints_json(
        exchange::complaints_about<exchange::PartFile>(document, exchange::read_part));
    const Result<exchange::Line> line = line_of(document);
    if (line.ok()) out["table"] = line_json(line->table, line->start);
    return out;
  }
  const part::Part& part = file->part;
  out["part"] = exchange::part_json(part);
  out["table"] = line_json(part.table, part.start);
  std::vector<part::Finding> findings = part.findings;
  for (part::Finding& f : planning::drawing_findings(part, style)) findings.push_back(std::move(f));
  part::sort_by_weight(findings);
  for (const part::Finding& finding : findings) {
    out["findings"].push_back(exchange::finding_json(finding));
  }
  return out;
}

Json bends_line(const exchange::Line& line, LengthUnit unit) {
  Json bends = Json::array();
  const std::vector<geometry::BendRow>& rows = line.table.rows();
  const bool one = std::all_of(rows.begin(), rows.end(), [&](const geometry::BendRow& row) {
    return row.radius_mm == rows.front().radius_mm;
  });
  for (const geometry::BendRow& row : rows) {
    Json bend;
    bend["straight"] = exchange::length_value(tidy(row.straight_mm), unit);
    bend["rotation"] = exchange::number_value(tidy(row.rotation.deg()));
    bend["angle"] = exchange::number_value(tidy(row.angle.deg()));
    if (!one) bend["radius"] = exchange::length_value(row.radius_mm, unit);
    bends.push_back(std::move(bend));
  }
  Json out;
  out["bends"] = std::move(bends);
  out["last"] = exchange::length_value(tidy(line.table.last_straight_mm()), unit);
  if (one && !rows.empty()) out["radius"] = exchange::length_value(rows.front().radius_mm, unit);
  if (line.radii_are_die) out["radius_is"] = "die";
  const geometry::Frame origin;
  const bool plain = line.start.origin_mm == origin.origin_mm && line.start.ahead == origin.ahead &&
                     line.start.inward == origin.inward;
  if (plain) return out;
  const auto vector = [](const geometry::Vec3& v) {
    return Json::array({exchange::number_value(v.x()), exchange::number_value(v.y()),
                        exchange::number_value(v.z())});
  };
  const geometry::Vec3& at = line.start.origin_mm;
  out["start"] = {{"at",
                   {exchange::length_value(at.x(), unit), exchange::length_value(at.y(), unit),
                    exchange::length_value(at.z(), unit)}},
                  {"ahead", vector(line.start.ahead)},
                  {"inward", vector(line.start.inward)}};
  return out;
}

Result<Json> rewritten(const Json& value, const Rewrite& wish, exchange::KnownMetals metals) {
  const LengthUnit own = unit_of(value);
  const LengthUnit unit = wish.unit.value_or(own);
  const exchange::Document document = exchange::document_of(value, "", std::move(metals));
  Json out = value;
  std::optional<exchange::Line> line;
  if (unit != own || wish.reverse || wish.mirror) {
    BIGHT_TRY(exchange::PartFile file, exchange::read_part(document));
    if (wish.mirror) file.part = part::mirrored(file.part);
    if (wish.reverse) {
      file.part.start = geometry::start_at_other_end(file.part.table, file.part.start);
      file.part.table = file.part.table.reversed();
      std::swap(file.part.end_a, file.part.end_b);
    }
    out = exchange::part_document(file.part, unit);
    line = exchange::Line{file.part.table, file.part.start, file.part.radii_are_die, {}};
  } else {
    BIGHT_TRY(line, line_of(document));
  }
  if (wish.as_corners) {
    BIGHT_TRY(out["line"], corners_line(*line, unit));
  } else {
    out["line"] = bends_line(*line, unit);
  }
  out.erase("measured");
  return out;
}

}  // namespace bight::service

#include "exchange/measured_piece.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "exchange/fields.h"
#include "exchange/part_toml.h"
#include "exchange/text_file.h"
#include "inspection/tape.h"

namespace bight::exchange {

using base::Angle;
using base::Failure;
using base::Result;
using geometry::Vec3;
using inspection::Agreed;
using inspection::MeasuredBend;
using inspection::ReadingError;

namespace {

// Order as in inspection::AlignBy.
const std::vector<std::string_view> kWays = {"ends", "leg", "fit", "zone", "points"};

// A triangle of tapes as an angle; `per_mm` collects how badly the worst of them reads.
std::optional<Angle> taped_angle(Fields& f, Angle& per_mm) {
  const std::optional<std::vector<double>> sides = f.lengths_mm("triangle");
  if (!sides) return std::nullopt;
  if (sides->size() != 3) {
    f.complain("triangle", "key.value", "a triangle has three lengths",
               "give [along the leg before, along the leg after, across]");
    return std::nullopt;
  }
  const Result<inspection::TapedAngle> taped =
      inspection::angle_from_across((*sides)[0], (*sides)[1], (*sides)[2]);
  if (!taped.ok()) {
    f.complain("triangle", taped.failure().code, taped.failure().message, taped.failure().remedy);
    return std::nullopt;
  }
  per_mm = std::max(per_mm, taped->per_mm);
  return taped->angle;
}

std::optional<Angle> read_angle(Fields& f, Angle& per_mm) {
  std::size_t given = 0;
  for (const char* key : {"angle", "included", "triangle"}) given += f.has(key);
  if (given > 1) {
    f.complain("angle", "key.value", "the angle is given more than once",
               "keep one of: angle, included, triangle");
  }
  std::optional<Angle> angle = f.angle("angle");
  if (const auto included = f.angle("included")) angle = Angle::degrees(180) - *included;
  if (const auto taped = taped_angle(f, per_mm)) angle = *taped;
  return angle;
}

MeasuredBend read_bend(Fields& f, Angle& per_mm) {
  MeasuredBend bend;
  bend.straight_mm = f.length_mm("straight");
  bend.rotation = f.angle("rotation");
  bend.angle = read_angle(f, per_mm);
  bend.fed_mm = f.length_mm("fed");
  bend.turned = f.angle("turned");
  bend.set = f.angle("set");
  bend.d_max_mm = f.length_mm("d_max");
  bend.d_min_mm = f.length_mm("d_min");
  bend.wall_mm = f.length_mm("wall");
  f.no_others();
  return bend;
}

Vec3 point_of(const std::vector<double>& xyz_mm) { return {xyz_mm[0], xyz_mm[1], xyz_mm[2]}; }

// A list of [x, y, z], or of tables with `at`, empty where a point was not measured.
void read_points(Fields& top, const Document& document, inspection::Measured& measured) {
  const std::size_t num = top.count("points");
  const bool plain = num > 0 && document.value.at("points").front().is_array();
  if (plain) {
    if (const auto rows = top.length_rows_mm("points", 3, 2 * kMostBends)) {
      for (const std::vector<double>& row : *rows) measured.points_mm.emplace_back(point_of(row));
    }
    return;
  }
  for (Fields& f : top.tables("points")) {
    const std::optional<std::vector<double>> at_mm = f.lengths_mm("at");
    if (at_mm && at_mm->size() != 3) {
      f.complain("at", "key.value", "a point has three coordinates",
                 "give at = [x, y, z], or {} where it was not measured");
    }
    f.no_others();
    top.adopt(f);
    measured.points_mm.emplace_back();
    if (at_mm && at_mm->size() == 3) measured.points_mm.back() = point_of(*at_mm);
  }
}

// Half widths of 95 %, above zero. A reading cannot be better than exact.
void read_errors(Fields& top, Angle taped_per_mm, ReadingError& error) {
  std::optional<Fields> f = top.table("errors");
  const bool own_angle = f && f->has("angle");
  if (f) {
    const auto length = [&](const char* key, double& value_mm) {
      const std::optional<double> given_mm = f->length_mm(key);
      if (!given_mm) return;
      value_mm = *given_mm;
      if (!(value_mm > 0.0)) f->complain(key, "key.value", "an error is more than zero", "");
    };
    const auto angle = [&](const char* key, Angle& value) {
      const std::optional<Angle> given = f->angle(key);
      if (!given) return;
      value = *given;
      if (!(value > Angle())) f->complain(key, "key.value", "an error is more than zero", "");
    };
    angle("angle", error.angle);
    angle("rotation", error.rotation);
    length("straight", error.straight_mm);
    length("point", error.point_mm);
    f->no_others();
    top.adopt(*f);
  }
  if (!own_angle) error.angle = std::max(error.angle, taped_per_mm * error.straight_mm);
}

void read_agreed(Fields& top, Agreed& agreed) {
  std::optional<Fields> f = top.table("agreed");
  if (!f) return;
  if (const auto way = f->choice("align", kWays)) {
    agreed.align = static_cast<inspection::AlignBy>(*way);
  }
  agreed.datum_points = f->texts("datum_points").value_or(std::vector<std::string>());
  agreed.length_mm = f->length_mm("length");
  agreed.angle = f->angle("angle");
  agreed.zone_radius_mm = f->length_mm("zone_radius");
  agreed.corner_mm = f->length_mm("corner");
  agreed.end_mm = f->length_mm("end");
  agreed.rules = f->texts("rules").value_or(std::vector<std::string>());
  agreed.guard_band = f->flag("guard_band");
  f->no_others();
  top.adopt(*f);
}

}  // namespace

Result<MeasuredPiece> read_measured_piece(const Document& document) {
  Fields top(document);
  BIGHT_TRY(base::Done done, read_rules(top, "measured.schema"));
  MeasuredPiece piece;
  piece.unit = top.lengths().default_unit;
  piece.measured.name = top.text("piece").value_or("");
  piece.part = top.text("part").value_or("");
  piece.heat = top.text("heat").value_or("");
  piece.date = top.text("date").value_or("");
  piece.who = top.text("who").value_or("");
  piece.gauge = top.text("gauge").value_or("");
  piece.note = top.text("note").value_or("");
  for (const char* key : {"bends", "points"}) {
    if (top.count(key) <= 2 * kMostBends) continue;
    top.complain(key, "key.value", "these are more than a tube has", "is this the right file?");
    return top.status().failure();
  }
  Angle taped_per_mm;
  for (Fields& f : top.tables("bends")) {
    piece.measured.bends.push_back(read_bend(f, taped_per_mm));
    top.adopt(f);
  }
  piece.measured.last_straight_mm = top.length_mm("last_straight");
  read_points(top, document, piece.measured);
  read_errors(top, taped_per_mm, piece.measured.error);
  read_agreed(top, piece.agreed);
  top.no_others();
  BIGHT_TRY(done, top.status());
  static_cast<void>(done);
  return piece;
}

Result<MeasuredPiece> read_measured_piece(std::string_view text, const std::string& file) {
  const std::size_t first = text.find_first_not_of(" \t\r\n\xEF\xBB\xBF");
  if (first == std::string_view::npos || text[first] != '{') {
    BIGHT_TRY(const Document document, parse_toml(text, file));
    return read_measured_piece(document);
  }
  if (text.size() > kLargestTextFile_bytes) {
    return Failure{"file.size", file, "the text is larger than 1 MiB", "is this the right file?"};
  }
  nlohmann::ordered_json json = nlohmann::ordered_json::parse(text, nullptr, false);
  if (!json.is_object()) {
    return Failure{"json.syntax", file, "this is not a JSON object",
                   "docs/formats/measured_piece.schema.json shows what is read"};
  }
  return read_measured_piece(document_of(std::move(json), file));
}

}  // namespace bight::exchange

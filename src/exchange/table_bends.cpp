#include "exchange/table_bends.h"

#include <fmt/format.h>

#include <cmath>

#include "base/typed_text.h"
#include "geometry/corners.h"

namespace bight::exchange {

using base::Angle;
using base::Failure;
using base::Result;
using geometry::BendRow;
using geometry::BendTable;
using geometry::Vec3;

namespace {

using MaybeLine = std::optional<Line>;

// Angles that print alike are alike.
constexpr double kSameAngle_deg = 1e-9;

std::string row_place(const RowsAsLine& in, const TableRow& row) {
  return fmt::format("{}:{}", in.file, row.line);
}

double to_centreline_mm(const RowsAsLine& in, double radius_mm) {
  return in.layout.radius_to_inside ? radius_mm + in.options.section_height_mm / 2.0 : radius_mm;
}

constexpr double kNoRadius_mm = 0.0;  // as yet

bool has_radius(const TableRow& row) { return row.radius_mm && *row.radius_mm > 0.0; }

// The part through the points; a failure says the file.
Result<geometry::FromCorners> bends_at(const std::vector<Vec3>& points_mm,
                                       const std::vector<double>& radii_mm,
                                       const std::string& file) {
  Result<geometry::FromCorners> from = geometry::to_bend_table(points_mm, radii_mm);
  if (from.ok()) return from;
  Failure failure = from.failure();
  failure.where = file + (failure.where.empty() ? "" : ", " + failure.where);
  return failure;
}

bool same(Angle a, Angle b) { return std::abs((a - b).wrapped().deg()) < kSameAngle_deg; }

bool is_flat(const BendTable& table) {
  for (const BendRow& row : table.rows()) {
    const double off_deg = std::abs(row.rotation.wrapped().deg());
    if (std::min(off_deg, 180.0 - off_deg) > 1e-6) return false;
  }
  return true;
}

}  // namespace

Result<double> answered_length_mm(const std::string& text, const std::string& name) {
  Result<double> length_mm = base::parse_length_mm(text);
  if (length_mm.ok()) return *length_mm;
  return Failure{
      "ask.length", "the answer " + name,
      fmt::format("{} is no length: {}", base::as_typed(text), length_mm.failure().message),
      "such as 50, 50 mm or 2 in"};
}

Result<std::optional<double>> ask_radius_mm(Asking& asking, const std::string& where,
                                            const std::string& what) {
  const std::optional<std::string> answer =
      asking.answer({"ask.radius",
                     fmt::format("What is the centreline radius? {}", what),
                     where,
                     {},
                     "a length, such as 50 mm or 2 in"});
  if (!answer) return std::optional<double>();
  BIGHT_TRY(const double radius_mm, answered_length_mm(*answer, "radius"));
  if (radius_mm > 0.0) return std::optional(radius_mm);
  return Failure{"ask.length", "the answer radius", "a radius is larger than zero",
                 "such as 50 mm"};
}

Result<MaybeLine> line_of_corners(const RowsAsLine& in, Asking& asking) {
  std::vector<Vec3> points;
  for (const TableRow& row : in.rows) {
    if (points.empty() ||
        (row.point_mm - points.back()).norm() > geometry::CornerOptions().coincident_below_mm) {
      points.push_back(row.point_mm);
    }
  }
  if (points.size() < 2) {
    return Failure{"table.few", in.file, "there are fewer than two different points",
                   "give the points from end A to end B, ends included"};
  }
  points.clear();
  std::vector<double> radii_mm;
  for (const TableRow& row : in.rows) points.push_back(row.point_mm);
  for (std::size_t i = 1; i + 1 < points.size(); ++i) {
    const TableRow& row = in.rows[i];
    // One to lay the path by where none is written; a bend never keeps it.
    radii_mm.push_back(has_radius(row) ? to_centreline_mm(in, *row.radius_mm) : 1.0);
  }
  BIGHT_TRY(geometry::FromCorners from, bends_at(points, radii_mm, in.file));
  // Which points are bends is known only now: twins and points on a straight are gone.
  std::optional<double> common_mm;
  for (const std::size_t point : from.bend_points) {
    const TableRow& row = in.rows[point];
    if (has_radius(row)) continue;
    if (!common_mm) {
      BIGHT_TRY(common_mm, ask_radius_mm(asking, row_place(in, row),
                                         fmt::format("Point {} turns and has none.", point + 1)));
      if (!common_mm) return MaybeLine();
    }
    radii_mm[point - 1] = *common_mm;
  }
  if (common_mm) {
    BIGHT_TRY(from, bends_at(points, radii_mm, in.file));
  }
  Line line{from.table, from.start, false, {}};
  for (const geometry::CornerNote& note : from.notes) {
    line.findings.push_back(understood(note.code, note.message));
  }
  return MaybeLine(std::move(line));
}

namespace {

struct Bends {
  std::vector<BendRow> rows;  // rotation and angle as written
  double last_mm = 0.0;
};

// The rows as written, the last straight apart.
Result<std::optional<Bends>> collect(const RowsAsLine& in, Asking& asking) {
  Bends bends;
  std::optional<double> common_mm;
  bool have_last = false;
  for (std::size_t i = 0; i < in.rows.size(); ++i) {
    const TableRow& row = in.rows[i];
    const bool last_row = i + 1 == in.rows.size();
    // A row that says nothing of a bend is a straight.
    if (!row.angle) {
      if (!row.straight_mm) {
        return Failure{"table.cell", row_place(in, row), "the row has neither straight nor angle",
                       "give every bend its straight before, rotation and angle"};
      }
      if (!last_row) {
        return Failure{"table.cell", row_place(in, row), "the bend in this row has no angle",
                       "only the last row, the straight after the last bend, goes without"};
      }
      bends.last_mm = *row.straight_mm;
      have_last = true;
      continue;
    }
    if (!row.straight_mm) {
      return Failure{"table.cell", row_place(in, row), "the straight before this bend is missing",
                     "write 0 where two bends meet"};
    }
    if (in.layout.rotation && !row.rotation && i > 0 && row.angle->deg() != 0.0) {
      return Failure{"table.cell", row_place(in, row), "the rotation of this bend is missing",
                     "write 0 where the plane stays"};
    }
    BendRow bend{*row.straight_mm, row.rotation.value_or(Angle()), *row.angle, kNoRadius_mm};
    if (row.radius_mm && *row.radius_mm > 0.0) {
      bend.radius_mm = to_centreline_mm(in, *row.radius_mm);
    } else if (row.angle->deg() != 0.0) {
      if (!common_mm) {
        BIGHT_TRY(common_mm, ask_radius_mm(asking, row_place(in, row),
                                           fmt::format("Bend {} has none.", i + 1)));
        if (!common_mm) return std::optional<Bends>();
      }
      bend.radius_mm = *common_mm;
    }
    // A last row whose angle is 0 is the last straight; 180 of an included angle is asked first.
    if (last_row && row.angle->deg() == 0.0) {
      bends.last_mm = bend.straight_mm;
      have_last = true;
      continue;
    }
    bends.rows.push_back(bend);
  }
  const bool closed_by_included = !bends.rows.empty() && in.layout.included.value_or(false) &&
                                  same(bends.rows.back().angle, Angle::degrees(180));
  if (!have_last && !closed_by_included) {
    const std::optional<std::string> answer =
        asking.answer({"ask.last",
                       "How long is the straight after the last bend? The last row is a bend.",
                       row_place(in, in.rows.back()),
                       {},
                       "a length, such as 120 mm, or 0"});
    if (!answer) return std::optional<Bends>();
    BIGHT_TRY(bends.last_mm, answered_length_mm(*answer, "last"));
  }
  return std::optional(std::move(bends));
}

// A row of angle 0 needs no radius, unless it proved to be a U. Nothing while it is asked for.
Result<std::optional<std::vector<BendRow>>> with_radii(const RowsAsLine& in,
                                                       std::vector<BendRow> rows, Asking& asking) {
  for (std::size_t i = 0; i < rows.size(); ++i) {
    if (rows[i].radius_mm != kNoRadius_mm) continue;
    rows[i].radius_mm = 1.0;  // of no bend
    if (rows[i].angle.deg() == 0.0) continue;
    BIGHT_TRY(
        const std::optional<double> common_mm,
        ask_radius_mm(asking, row_place(in, in.rows[i]), fmt::format("Bend {} has none.", i + 1)));
    if (!common_mm) return std::optional<std::vector<BendRow>>();
    rows[i].radius_mm = *common_mm;
  }
  return std::optional(std::move(rows));
}

std::vector<BendRow> with_included(std::vector<BendRow> rows) {
  for (BendRow& row : rows) row.angle = Angle::degrees(180) - row.angle;
  return rows;
}

std::vector<BendRow> with_absolute(std::vector<BendRow> rows) {
  Angle before;
  for (BendRow& row : rows) {
    const Angle absolute = row.rotation;
    row.rotation = absolute - before;
    before = absolute;
  }
  return rows;
}

// Bend or included angles: asked unless every angle means the same both ways.
std::optional<bool> settle_included(const RowsAsLine& in, const Bends& bends, Asking& asking) {
  if (in.layout.included) return in.layout.included;
  std::string differing;
  for (const BendRow& row : bends.rows) {
    if (row.angle > Angle::degrees(180) || row.angle < Angle()) return false;
    if (differing.empty() && !same(row.angle, Angle::degrees(90))) {
      differing = fmt::format("{:.10g}", row.angle.deg());
    }
  }
  if (differing.empty()) return false;
  const std::optional<std::string> answer = asking.answer(
      {"ask.angle",
       fmt::format("What do the angles say? {} may be the change of direction or the angle "
                   "between the legs.",
                   differing),
       in.file,
       {{"bend", "change of direction: 0 is straight, 180 a U"},
        {"included", "between the legs: 180 is straight"}},
       ""});
  if (!answer) return std::nullopt;
  return *answer == "included";
}

// From the bend before or from the first bend: asked unless both give the same part.
Result<std::optional<bool>> settle_absolute(const RowsAsLine& in, const Bends& bends,
                                            const std::vector<BendRow>& rows, Asking& asking) {
  if (in.layout.absolute || !in.layout.rotation) return in.layout.absolute;
  BIGHT_TRY(const BendTable relative, BendTable::make(rows, bends.last_mm));
  BIGHT_TRY(const BendTable absolute, BendTable::make(with_absolute(rows), bends.last_mm));
  bool alike = relative.num_bends() == absolute.num_bends();
  for (std::size_t i = 0; alike && i < relative.num_bends(); ++i) {
    alike = same(relative.rows()[i].rotation, absolute.rows()[i].rotation);
  }
  if (alike) return std::optional(false);
  const std::optional<std::string> answer =
      asking.answer({"ask.rotation",
                     "From where are the rotations counted? The two ways give different parts.",
                     in.file,
                     {{"relative", "from the plane of the bend before"},
                      {"absolute", "from the plane of the first bend, or of the machine"}},
                     ""});
  if (!answer) return std::optional<bool>();
  return std::optional(*answer == "absolute");
}

Result<bool> left_handed(const RowsAsLine& in) {
  const auto answer = in.options.answers.find("hand");
  if (answer == in.options.answers.end() || answer->second == "right") return false;
  if (answer->second == "left") return true;
  return Failure{"ask.choice", "the answer hand",
                 fmt::format("{} is no hand", base::as_typed(answer->second)), "left or right"};
}

}  // namespace

Result<MaybeLine> line_of_bends(const RowsAsLine& in, Asking& asking) {
  BIGHT_TRY(const std::optional<Bends> bends, collect(in, asking));
  if (!bends) {
    BIGHT_TRY(const base::Done no_failure, asking.status());
    static_cast<void>(no_failure);
    return MaybeLine();
  }
  const std::optional<bool> included = settle_included(in, *bends, asking);
  BIGHT_TRY(
      std::optional<std::vector<BendRow>> settled,
      with_radii(in, included.value_or(false) ? with_included(bends->rows) : bends->rows, asking));
  if (!settled) {
    BIGHT_TRY(const base::Done no_failure, asking.status());
    static_cast<void>(no_failure);
    return MaybeLine();
  }
  std::vector<BendRow> rows = *std::move(settled);
  const auto placed = [&](Failure failure) {
    failure.where = in.file + (failure.where.empty() ? "" : ", " + failure.where);
    return failure;
  };
  Result<std::optional<bool>> absolute = settle_absolute(in, *bends, rows, asking);
  if (!absolute.ok()) return placed(absolute.failure());
  BIGHT_TRY(const base::Done answered, asking.status());
  static_cast<void>(answered);
  if (!asking.open().empty()) return MaybeLine();
  if (absolute->value_or(false)) rows = with_absolute(std::move(rows));
  std::vector<geometry::TableNote> notes;
  Result<BendTable> table = BendTable::make(std::move(rows), bends->last_mm, &notes);
  if (!table.ok()) return placed(table.failure());
  BIGHT_TRY(const bool left, left_handed(in));
  Line line{left ? table->mirrored() : *table, geometry::Frame(), false, {}};
  for (const geometry::TableNote& note : notes) {
    line.findings.push_back(understood(note.code, note.message));
  }
  if (!is_flat(line.table)) {
    line.findings.push_back(understood(
        "table.hand", fmt::format("Rotations are taken {}-hand positive about the way from end A; "
                                  "the other hand gives the mirror image.",
                                  left ? "left" : "right")));
  }
  return MaybeLine(std::move(line));
}

}  // namespace bight::exchange

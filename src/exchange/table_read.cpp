#include "exchange/table_read.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "base/typed_text.h"
#include "exchange/part_toml.h"
#include "exchange/table_bends.h"
#include "exchange/table_text.h"

namespace bight::exchange {

using base::Angle;
using base::Failure;
using base::Result;
using geometry::Vec3;

namespace {

// Reads the cells of one row; the first thing wrong is kept.
class RowReader {
 public:
  RowReader(const TextGrid& grid, const TableLayout& layout, const std::string& file)
      : grid_(grid), layout_(layout), file_(file) {}

  void start(std::size_t row) { row_ = row; }

  std::optional<double> length_mm(std::optional<std::size_t> column) {
    if (!column) return std::nullopt;
    const std::string_view cell = grid_.cell(row_, *column);
    if (is_blank(cell)) return std::nullopt;
    Result<double> length_mm = cell_length_mm(cell, layout_.length_unit, layout_.mark);
    if (length_mm.ok()) return *length_mm;
    wrong(*column, length_mm.failure());
    return std::nullopt;
  }

  std::optional<Angle> angle(std::optional<std::size_t> column, TableUnit unit) {
    if (!column) return std::nullopt;
    const std::string_view cell = grid_.cell(row_, *column);
    if (is_blank(cell)) return std::nullopt;
    Result<Angle> angle = cell_angle(cell, unit, layout_.mark);
    if (angle.ok()) return *angle;
    wrong(*column, angle.failure());
    return std::nullopt;
  }

  double need_mm(std::size_t column) {
    const std::optional<double> value = length_mm(column);
    if (!value && !failure_) {
      failure_ = Failure{"table.cell", where(column), "this cell is empty",
                         "every row needs a number here"};
    }
    return value.value_or(0.0);
  }

  const std::optional<Failure>& failure() const { return failure_; }

 private:
  std::string where(std::size_t column) const {
    return fmt::format("{}:{}, column {}", file_, grid_.line(row_), column + 1);
  }

  void wrong(std::size_t column, const Failure& why) {
    if (failure_) return;
    failure_ = Failure{"table.cell", where(column),
                       fmt::format("{} cannot be read here: {}",
                                   base::as_typed(grid_.cell(row_, column)), why.message),
                       why.remedy};
  }

  const TextGrid& grid_;
  const TableLayout& layout_;
  const std::string& file_;
  std::size_t row_ = 0;
  std::optional<Failure> failure_;
};

TableRow read_row(RowReader& reader, const TextGrid& grid, const TableLayout& layout,
                  std::size_t row_index) {
  TableRow row;
  row.line = grid.line(row_index);
  if (layout.part) row.part = grid.cell(row_index, *layout.part);
  if (layout.kind == TableKind::kCorners) {
    row.point_mm.x() = reader.need_mm(*layout.x);
    row.point_mm.y() = reader.need_mm(*layout.y);
    row.point_mm.z() = layout.z ? reader.need_mm(*layout.z) : 0.0;
  } else {
    row.straight_mm = reader.length_mm(layout.straight);
    row.rotation = reader.angle(layout.rotation, layout.rotation_unit);
    row.angle = reader.angle(layout.angle, layout.angle_unit);
  }
  row.radius_mm = reader.length_mm(layout.radius);
  return row;
}

// Headings end where the columns end; a row that goes on has commas for decimals, most likely.
std::optional<Failure> ragged(const TextGrid& grid, const TableLayout& layout,
                              const std::string& file, std::size_t row) {
  if (layout.first_row == 0) return std::nullopt;
  const std::size_t most =
      std::max(grid.num_cells(layout.first_row - 1),
               layout.first_row > 1 ? grid.num_cells(layout.first_row - 2) : 0);
  if (most < 2 || grid.num_cells(row) <= most) return std::nullopt;
  return Failure{"table.ragged", fmt::format("{}:{}", file, grid.line(row)),
                 fmt::format("this row has {} cells under {} headings", grid.num_cells(row), most),
                 grid.separator() == Separator::kComma
                     ? "where commas are decimals too, put semicolons or tabs between the cells"
                     : "give every row the same columns"};
}

}  // namespace

Result<std::vector<TableRow>> read_rows(const TextGrid& grid, const TableLayout& layout,
                                        const std::string& file) {
  std::vector<TableRow> rows;
  rows.reserve(grid.num_rows() - std::min(layout.first_row, grid.num_rows()));
  RowReader reader(grid, layout, file);
  for (std::size_t i = layout.first_row; i < grid.num_rows(); ++i) {
    if (grid.cell(i, 0).starts_with('#')) continue;
    if (const auto failure = ragged(grid, layout, file, i)) return *failure;
    reader.start(i);
    rows.push_back(read_row(reader, grid, layout, i));
    if (reader.failure()) return *reader.failure();
  }
  if (rows.empty()) {
    return Failure{"table.rows", file, "there are no rows below the heading",
                   "give one row for each point or bend"};
  }
  return rows;
}

namespace {

// The rows of one part. Nothing when which part is still to be said.
std::optional<std::vector<TableRow>> rows_of_part(const std::vector<TableRow>& rows,
                                                  const std::string& file, Asking& asking,
                                                  std::string& name) {
  std::vector<std::string_view> parts;
  for (const TableRow& row : rows) {
    if (std::find(parts.begin(), parts.end(), row.part) == parts.end()) parts.push_back(row.part);
    if (parts.size() > 1000) break;
  }
  if (parts.size() == 1) {
    name = parts.front();
    return rows;
  }
  Question question{"ask.part",
                    fmt::format("Which part? The table holds {}{}.",
                                parts.size() > 1000 ? "more than " : "", parts.size()),
                    file,
                    {},
                    "one of the names in the part column"};
  constexpr std::size_t kMostListed = 40;
  for (std::size_t i = 0; i < parts.size() && parts.size() <= kMostListed; ++i) {
    question.choices.push_back({std::string(parts[i]), fmt::format("part {} of the table", i + 1)});
  }
  const std::optional<std::string> answer = asking.answer(std::move(question));
  if (!answer) return std::nullopt;
  name = *answer;
  std::vector<TableRow> own;
  std::copy_if(rows.begin(), rows.end(), std::back_inserter(own),
               [&](const TableRow& row) { return row.part == *answer; });
  return own;
}

std::string unit_words(TableUnit unit) {
  switch (unit) {
    case TableUnit::kMillimetre:
      return "millimetres";
    case TableUnit::kCentimetre:
      return "centimetres";
    case TableUnit::kMetre:
      return "metres";
    case TableUnit::kInch:
      return "inches";
    case TableUnit::kFoot:
      return "feet";
    case TableUnit::kDegree:
    case TableUnit::kRadian:
      break;
  }
  return "";
}

// How the table was understood, for a person to check.
void add_table_notes(const TableLayout& layout, Encoding encoding, std::size_t num_rows,
                     Line& line) {
  std::string text = fmt::format("Read {} {} in {}", num_rows,
                                 layout.kind == TableKind::kCorners ? "points" : "rows of bends",
                                 unit_words(layout.length_unit));
  text += layout.mark == base::DecimalMark::kComma ? ", decimal comma." : ", decimal point.";
  if (encoding == Encoding::kWindows1252) text += " The text is Windows-1252.";
  if (layout.kind == TableKind::kCorners && !layout.z) text += " There is no Z: the part is flat.";
  line.findings.push_back(understood("table.read", text));
  if (!layout.passed_over.empty()) {
    line.findings.push_back(
        understood("table.passed-over",
                   fmt::format("Columns passed over: {}.", fmt::join(layout.passed_over, ", "))));
  }
}

bool radius_drawn_inside(const TableLayout& layout, const std::vector<TableRow>& rows) {
  return layout.radius_to_inside &&
         std::any_of(rows.begin(), rows.end(), [](const TableRow& row) { return row.radius_mm; });
}

}  // namespace

Result<LineReading> read_table(std::string_view bytes, const std::string& file,
                               const LineOptions& options) {
  if (bytes.size() > kLargestTable_bytes) {
    return Failure{"table.size", file,
                   fmt::format("the table is larger than {} MiB", kLargestTable_bytes >> 20),
                   "is this the right file?"};
  }
  BIGHT_TRY(TidyText tidy, tidy_text(bytes, file));
  BIGHT_TRY(const TextGrid grid, TextGrid::cut(std::move(tidy.text), file));
  Asking asking(options.answers);
  BIGHT_TRY(const TableLayout layout, lay_columns(grid, file, asking));
  BIGHT_TRY(const base::Done understood_so_far, asking.status());
  static_cast<void>(understood_so_far);
  LineReading reading;
  reading.unit = layout.length_unit == TableUnit::kInch || layout.length_unit == TableUnit::kFoot
                     ? base::LengthUnit::kInch
                     : base::LengthUnit::kMillimetre;
  if (!asking.open().empty()) {
    reading.questions = asking.open();
    return reading;
  }
  BIGHT_TRY(const std::vector<TableRow> all, read_rows(grid, layout, file));
  const std::optional<std::vector<TableRow>> rows = rows_of_part(all, file, asking, reading.name);
  BIGHT_TRY(const base::Done part_known, asking.status());
  static_cast<void>(part_known);
  if (!rows) {
    reading.questions = asking.open();
    return reading;
  }
  if (rows->size() > kMostBends + 2) {
    return Failure{"table.many", file,
                   fmt::format("{} rows are more than a bent part has (at most {} bends)",
                               rows->size(), kMostBends),
                   "a traced curve must first be turned into straights and arcs; parts in one "
                   "table are told apart by a column headed Part"};
  }
  if (radius_drawn_inside(layout, *rows) && options.section_height_mm <= 0.0) {
    return Failure{"table.inside-radius", file,
                   "the radii are to the inside of the tube, whose size is not known",
                   "give the tube with --size, or --od and --wall"};
  }
  const RowsAsLine rows_as_line{file, layout, *rows, options};
  BIGHT_TRY(std::optional<Line> line, layout.kind == TableKind::kCorners
                                          ? line_of_corners(rows_as_line, asking)
                                          : line_of_bends(rows_as_line, asking));
  if (!line) {
    reading.questions = asking.open();
    return reading;
  }
  add_table_notes(layout, tidy.encoding, rows->size(), *line);
  reading.line = std::move(line);
  return reading;
}

}  // namespace bight::exchange

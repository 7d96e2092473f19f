#include "exchange/table_columns.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/typed_text.h"
#include "exchange/table_text.h"

namespace bight::exchange {

using base::DecimalMark;
using base::Failure;
using base::Result;

namespace {

constexpr std::size_t kHeadingWithin_rows = 60;

std::size_t count(const std::vector<Heading>& headings, Role role) {
  return static_cast<std::size_t>(std::count_if(headings.begin(), headings.end(),
                                                [&](const Heading& h) { return h.role == role; }));
}

bool has(const std::vector<Heading>& headings, Role role) { return count(headings, role) > 0; }

// A column whose name or neighbours make it an angle.
bool has_angle(const std::vector<Heading>& headings) {
  return has(headings, Role::kAngle) || has(headings, Role::kBendAngle) ||
         has(headings, Role::kIncluded);
}

// Single letters take their meaning from their neighbours: L R A is length, rotation, angle;
// Y B C is feed, rotation, bend; X Y Z R ends in a radius. "Bend" beside an angle counts bends.
void settle_letters(std::vector<Heading>& headings) {
  const bool angled = has_angle(headings) || has(headings, Role::kLetterC);
  for (Heading& h : headings) {
    if (h.role == Role::kBendWord) h.role = angled ? Role::kNumber : Role::kBendAngle;
  }
  const bool points = has(headings, Role::kX) && has(headings, Role::kY);
  const bool feed = !has(headings, Role::kX) && has(headings, Role::kY) &&
                    has(headings, Role::kLetterB) && has(headings, Role::kLetterC);
  const bool bends = has(headings, Role::kStraight) && has_angle(headings);
  for (Heading& h : headings) {
    if (feed && h.role == Role::kY) h.role = Role::kStraight;
    if (h.role == Role::kLetterB) h.role = feed ? Role::kRotation : Role::kUnknown;
    if (h.role == Role::kLetterC) h.role = feed ? Role::kBendAngle : Role::kUnknown;
  }
  const bool rotated = has(headings, Role::kRotation);
  for (Heading& h : headings) {
    if (h.role != Role::kLetterR) continue;
    h.role = bends && !points && !rotated && !feed ? Role::kRotation : Role::kRadius;
  }
}

bool names_table(const std::vector<Heading>& headings) {
  return (has(headings, Role::kX) && has(headings, Role::kY)) ||
         (has(headings, Role::kStraight) && has_angle(headings));
}

std::vector<Heading> headings_of(const TextGrid& grid, std::size_t row) {
  std::vector<Heading> headings;
  for (std::size_t i = 0; i < grid.num_cells(row); ++i) {
    const std::string_view cell = grid.cell(row, i);
    headings.push_back(looks_numeric(cell) ? Heading() : read_heading(cell));
  }
  settle_letters(headings);
  return headings;
}

// A row of nothing but units beneath the heading.
bool take_unit_row(const TextGrid& grid, std::size_t row, std::vector<Heading>& headings) {
  if (row >= grid.num_rows()) return false;
  std::vector<std::pair<std::size_t, TableUnit>> units;
  for (std::size_t i = 0; i < grid.num_cells(row); ++i) {
    if (grid.cell(row, i).empty()) continue;
    const std::optional<TableUnit> unit = unit_of_word(folded(grid.cell(row, i)));
    if (!unit && !is_blank(grid.cell(row, i))) return false;
    if (unit) units.emplace_back(i, *unit);
  }
  if (units.empty()) return false;
  for (const auto& [column, unit] : units) {
    if (column < headings.size()) headings[column].unit = unit;
  }
  return true;
}

struct Columns {
  std::vector<Heading> headings;
  std::size_t heading_row = 0;
  bool has_heading = false;
  std::size_t first_row = 0;
};

bool numbers_in(const TextGrid& grid, std::size_t row) {
  std::size_t numbers = 0;
  for (std::size_t i = 0; i < grid.num_cells(row); ++i) {
    numbers += looks_numeric(grid.cell(row, i)) ? 1u : 0u;
  }
  return numbers >= 2;
}

Columns find_heading(const TextGrid& grid) {
  Columns found;
  const std::size_t rows = std::min(grid.num_rows(), kHeadingWithin_rows);
  for (std::size_t row = 0; row < rows; ++row) {
    std::vector<Heading> headings = headings_of(grid, row);
    if (!names_table(headings)) continue;
    found.heading_row = row;
    found.has_heading = true;
    found.first_row = take_unit_row(grid, row + 1, headings) ? row + 2 : row + 1;
    found.headings = std::move(headings);
    return found;
  }
  while (found.first_row < grid.num_rows() && !numbers_in(grid, found.first_row)) {
    ++found.first_row;
  }
  return found;
}

std::string row_text(const TextGrid& grid, std::size_t row) {
  std::string text;
  for (std::size_t i = 0; i < grid.num_cells(row); ++i) {
    text += (i == 0 ? "" : " | ") + std::string(grid.cell(row, i));
  }
  return base::as_typed(text);
}

// Without a heading a person has to name the columns: "x,y,z" or "straight,rotation,angle,-".
Result<bool> ask_columns(const TextGrid& grid, const std::string& file, Columns& found,
                         Asking& asking) {
  if (found.first_row >= grid.num_rows()) {
    return Failure{"table.rows", file, "no row holds numbers",
                   "give a heading such as X, Y, Z or Straight, Rotation, Angle, and one row for "
                   "each point or bend"};
  }
  const std::optional<std::string> answer = asking.answer(
      {"ask.columns",
       fmt::format("What are the columns? No heading was understood; the first row is {}.",
                   row_text(grid, found.first_row)),
       fmt::format("{}:{}", file, grid.line(found.first_row)),
       {},
       "names from the left with commas between, - for one to pass over: x,y,z or x,y,z,radius or "
       "straight,rotation,angle,radius"});
  if (!answer) return false;
  std::string_view rest = *answer;
  while (true) {
    const std::size_t end = rest.find(',');
    found.headings.push_back(read_heading(rest.substr(0, end)));
    if (end == std::string_view::npos) break;
    rest.remove_prefix(end + 1);
  }
  settle_letters(found.headings);
  if (names_table(found.headings)) return true;
  return Failure{"ask.choice", file,
                 fmt::format("{} names neither points nor bends", base::as_typed(*answer)),
                 "for points x,y,z; for bends straight,rotation,angle and perhaps radius"};
}

std::string place(const TextGrid& grid, const std::string& file, const Columns& found) {
  return fmt::format("{}:{}", file,
                     grid.line(found.has_heading ? found.heading_row : found.first_row));
}

Result<std::optional<TableKind>> which_kind(const TextGrid& grid, const std::string& file,
                                            const Columns& found, Asking& asking) {
  const bool corners = has(found.headings, Role::kX) && has(found.headings, Role::kY);
  const bool bends = has(found.headings, Role::kStraight) && has_angle(found.headings);
  if (corners && bends) {
    const std::optional<std::string> answer = asking.answer(
        {"ask.table",
         "Which of the two does this table mean? It has columns for points and for bends.",
         place(grid, file, found),
         {{"corners", "the points count"}, {"bends", "straights, rotations and angles count"}},
         ""});
    if (!answer) return std::optional<TableKind>();
    return std::optional(*answer == "corners" ? TableKind::kCorners : TableKind::kBends);
  }
  return std::optional(corners ? TableKind::kCorners : TableKind::kBends);
}

// The only column of these roles; nothing when there is none.
Result<std::optional<std::size_t>> only(const Columns& found, std::initializer_list<Role> roles,
                                        const std::string& where, const char* name) {
  std::optional<std::size_t> column;
  for (std::size_t i = 0; i < found.headings.size(); ++i) {
    if (std::find(roles.begin(), roles.end(), found.headings[i].role) == roles.end()) continue;
    if (column) {
      return Failure{"table.columns", where,
                     fmt::format("columns {} and {} both hold the {}", *column + 1, i + 1, name),
                     "take one out, or name the columns with --answer columns=…"};
    }
    column = i;
  }
  return column;
}

base::Status take_columns(const Columns& found, const std::string& where, TableLayout& layout) {
  BIGHT_TRY(layout.part, only(found, {Role::kPart}, where, "part"));
  BIGHT_TRY(layout.radius, only(found, {Role::kRadius, Role::kInsideRadius}, where, "radius"));
  if (layout.kind == TableKind::kCorners) {
    BIGHT_TRY(layout.x, only(found, {Role::kX}, where, "X"));
    BIGHT_TRY(layout.y, only(found, {Role::kY}, where, "Y"));
    BIGHT_TRY(layout.z, only(found, {Role::kZ}, where, "Z"));
  } else {
    BIGHT_TRY(layout.straight, only(found, {Role::kStraight}, where, "straight"));
    BIGHT_TRY(layout.rotation, only(found, {Role::kRotation}, where, "rotation"));
    BIGHT_TRY(layout.angle,
              only(found, {Role::kAngle, Role::kBendAngle, Role::kIncluded}, where, "angle"));
    const Role role = found.headings[*layout.angle].role;
    if (role == Role::kBendAngle) layout.included = false;
    if (role == Role::kIncluded) layout.included = true;
    layout.angle_unit = found.headings[*layout.angle].unit.value_or(TableUnit::kDegree);
    if (layout.rotation) {
      layout.absolute = found.headings[*layout.rotation].absolute;
      layout.rotation_unit = found.headings[*layout.rotation].unit.value_or(TableUnit::kDegree);
    }
  }
  if (layout.radius) {
    layout.radius_to_inside = found.headings[*layout.radius].role == Role::kInsideRadius;
  }
  return base::Done{};
}

std::vector<std::size_t> length_columns(const TableLayout& layout) {
  std::vector<std::size_t> columns;
  for (const std::optional<std::size_t>& column :
       {layout.x, layout.y, layout.z, layout.straight, layout.radius}) {
    if (column) columns.push_back(*column);
  }
  return columns;
}

// "Units: mm" above the heading.
std::optional<TableUnit> unit_above(const TextGrid& grid, std::size_t rows) {
  for (std::size_t row = 0; row < rows; ++row) {
    std::string text;
    for (std::size_t i = 0; i < grid.num_cells(row); ++i) {
      text += folded(grid.cell(row, i)) + " ";
    }
    bool named = false;
    for (std::size_t at = 0; at < text.size();) {
      const std::size_t end = text.find(' ', at);
      const std::string word = text.substr(at, end - at);
      if (named) {
        if (const auto unit = unit_of_word(word); unit && is_length(*unit)) return unit;
      }
      named = named || word == "unit" || word == "units" || word == "einheit" ||
              word == "einheiten" || word == "unite" || word == "unites" || word == "unidad" ||
              word == "unidades" || word == "unita" || word == "eenheid" || word == "eenheden" ||
              word == "jednostka" || word == "jednostki" || word == "dimensions" || word == "masse";
      at = end + 1;
    }
  }
  return std::nullopt;
}

// True when every length that is not zero names its own unit.
bool cells_name_units(const TextGrid& grid, const TableLayout& layout) {
  bool any = false;
  for (std::size_t row = layout.first_row; row < grid.num_rows(); ++row) {
    for (const std::size_t column : length_columns(layout)) {
      const std::string_view cell = grid.cell(row, column);
      if (is_blank(cell) || cell.find_first_of("123456789") == std::string_view::npos) continue;
      if (!own_unit(cell)) return false;
      any = true;
    }
  }
  return any;
}

Result<bool> settle_units(const TextGrid& grid, const std::string& where, const Columns& found,
                          TableLayout& layout, Asking& asking) {
  std::optional<TableUnit> unit;
  for (const std::size_t column : length_columns(layout)) {
    const std::optional<TableUnit> named = found.headings[column].unit;
    if (!named) continue;
    if (!is_length(*named) || (unit && *unit != *named)) {
      return Failure{
          "table.columns", where,
          fmt::format("the lengths are headed {} and {}", unit ? word(*unit) : "mm", word(*named)),
          "give all lengths in one unit"};
    }
    unit = named;
  }
  if (!unit) unit = unit_above(grid, found.has_heading ? found.heading_row : found.first_row);
  if (!unit && cells_name_units(grid, layout)) unit = TableUnit::kMillimetre;
  if (!unit) {
    const std::optional<std::string> answer =
        asking.answer({"ask.units",
                       "Are the lengths in millimetres or inches? Neither the heading nor the "
                       "cells say.",
                       where,
                       {{"mm", "millimetres"}, {"in", "inches"}},
                       ""});
    if (!answer) return false;
    unit = *answer == "in" ? TableUnit::kInch : TableUnit::kMillimetre;
  }
  layout.length_unit = *unit;
  return true;
}

// The decimal mark all cells agree on; what could be read two ways is asked.
bool settle_mark(const TextGrid& grid, const std::string& file, TableLayout& layout,
                 Asking& asking) {
  std::vector<std::size_t> columns = length_columns(layout);
  for (const auto& column : {layout.rotation, layout.angle}) {
    if (column) columns.push_back(*column);
  }
  std::size_t point = 0, comma = 0;
  std::optional<std::pair<std::size_t, std::size_t>> doubtful;
  bool doubtful_comma = false;
  for (std::size_t row = layout.first_row; row < grid.num_rows(); ++row) {
    for (const std::size_t column : columns) {
      const std::string_view cell = grid.cell(row, column);
      if (cell.find_first_of(".,") == std::string_view::npos) continue;
      const MarkHint hint = mark_hint(cell);
      point += hint == MarkHint::kPoint ? 1u : 0u;
      comma += hint == MarkHint::kComma ? 1u : 0u;
      if (hint == MarkHint::kPoints3 || hint == MarkHint::kCommas3) {
        if (!doubtful) doubtful = {row, column};
        doubtful_comma = doubtful_comma || hint == MarkHint::kCommas3;
      }
    }
  }
  layout.mark = comma > point ? DecimalMark::kComma : DecimalMark::kPoint;
  if ((point > 0) != (comma > 0)) return true;
  if (point == 0 && !doubtful) return true;
  // Cells cut at bare commas hold none of them, so a point is no mark of thousands there.
  if (point == 0 && grid.separator() == Separator::kComma && !doubtful_comma) return true;
  const auto [row, column] = doubtful.value_or(std::pair(layout.first_row, columns.front()));
  const std::optional<std::string> answer = asking.answer(
      {"ask.decimal",
       point > 0 ? std::string("Which mark parts the decimals? Some cells use the comma, others "
                               "the point.")
                 : fmt::format("Is {} a number with decimals, or are these thousands?",
                               base::as_typed(grid.cell(row, column))),
       fmt::format("{}:{}", file, grid.line(row)),
       {{"point", "1.234 lies between 1 and 2"}, {"comma", "1,234 lies between 1 and 2"}},
       ""});
  if (!answer) return false;
  layout.mark = *answer == "comma" ? DecimalMark::kComma : DecimalMark::kPoint;
  return true;
}

}  // namespace

Result<TableLayout> lay_columns(const TextGrid& grid, const std::string& file, Asking& asking) {
  TableLayout layout;
  Columns found = find_heading(grid);
  if (!found.has_heading) {
    BIGHT_TRY(const bool named, ask_columns(grid, file, found, asking));
    if (!named) return layout;
  }
  layout.first_row = found.first_row;
  const std::string where = place(grid, file, found);
  BIGHT_TRY(const std::optional<TableKind> kind, which_kind(grid, file, found, asking));
  if (!kind) return layout;
  layout.kind = *kind;
  BIGHT_TRY(const base::Done taken, take_columns(found, where, layout));
  static_cast<void>(taken);
  BIGHT_TRY(const bool units, settle_units(grid, where, found, layout, asking));
  const bool mark = settle_mark(grid, file, layout, asking);
  static_cast<void>(units && mark);
  for (std::size_t i = 0; found.has_heading && i < found.headings.size(); ++i) {
    if (found.headings[i].role == Role::kUnknown && !grid.cell(found.heading_row, i).empty()) {
      layout.passed_over.emplace_back(grid.cell(found.heading_row, i));
    }
  }
  return layout;
}

}  // namespace bight::exchange

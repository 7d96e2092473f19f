// Bend tables and point lists out of CSV, TSV and pasted spreadsheet cells.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "exchange/question.h"
#include "exchange/table_columns.h"

namespace bight::exchange {

// No table of ours is larger.
inline constexpr std::size_t kLargestTable_bytes = std::size_t{8} << 20;

// One row of a table of points or bends with its numbers read.
struct TableRow {
  std::size_t line = 0;   // of the file, from 1
  std::string_view part;  // which part it belongs to; empty without such a column
  geometry::Vec3 point_mm = geometry::Vec3::Zero();
  std::optional<double> straight_mm;
  std::optional<base::Angle> rotation, angle;  // as written: relative or absolute, bend or included
  std::optional<double> radius_mm;
};

// Every row's numbers. Rows whose first cell starts with # are comments.
// Failure codes: table.cell (a cell that holds no number, or nothing where something is needed),
// table.ragged (more cells than headings), table.rows (no rows).
base::Result<std::vector<TableRow>> read_rows(const TextGrid& grid, const TableLayout& layout,
                                              const std::string& file);

// The centreline a table describes. Questions it may ask: ask.columns, ask.table, ask.units,
// ask.decimal, ask.part, ask.rotation, ask.angle, ask.radius, ask.last. A question is asked only
// where its answers would give different parts. Rotations are right-hand positive about the way
// from end A unless ask.hand is answered "left"; a part that is not flat carries a note that says
// so.
// Failure codes: those of table_text.h, table_grid.h, table_columns.h and read_rows; table.size,
// table.many (more rows than a tube has bends), table.inside-radius (the tube's size is needed),
// ask.choice, ask.length; those of geometry.
base::Result<LineReading> read_table(std::string_view bytes, const std::string& file,
                                     const LineOptions& options = {});

}  // namespace bight::exchange

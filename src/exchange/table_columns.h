// Finding the heading of a table, its columns, its units and its decimal mark.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/number.h"
#include "exchange/question.h"
#include "exchange/table_grid.h"
#include "exchange/table_words.h"

namespace bight::exchange {

enum class TableKind { kCorners, kBends };

// Where everything stands in a grid, as far as it could be told.
struct TableLayout {
  TableKind kind = TableKind::kCorners;
  std::optional<std::size_t> part, x, y, z, radius, straight, rotation, angle;
  bool radius_to_inside = false;
  std::optional<bool> included;  // what the angle column holds, where the heading says
  std::optional<bool> absolute;  // likewise the rotation column
  TableUnit length_unit = TableUnit::kMillimetre;
  TableUnit rotation_unit = TableUnit::kDegree;
  TableUnit angle_unit = TableUnit::kDegree;
  base::DecimalMark mark = base::DecimalMark::kPoint;
  std::size_t first_row = 0;             // of the data
  std::vector<std::string> passed_over;  // headings that mean nothing to us
};

// Reads the heading and asks what it leaves open: ask.columns, ask.table, ask.units, ask.decimal.
// What it returns is complete only when nothing was asked.
// Failure codes: table.rows (no row of numbers), table.columns (columns missing or named twice).
base::Result<TableLayout> lay_columns(const TextGrid& grid, const std::string& file,
                                      Asking& asking);

}  // namespace bight::exchange

// From the rows of a table to a centreline, with the questions the numbers raise.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "exchange/table_read.h"

namespace bight::exchange {

// One part's rows and how to read them.
struct RowsAsLine {
  const std::string& file;
  const TableLayout& layout;
  const std::vector<TableRow>& rows;
  const LineOptions& options;
};

// A length given as an answer or option: "50 mm", "2 in", a bare number in millimetres.
// Failure code: ask.length.
base::Result<double> answered_length_mm(const std::string& text, const std::string& name);

// Asks ask.radius. Nothing when it is not answered.
base::Result<std::optional<double>> ask_radius_mm(Asking& asking, const std::string& where,
                                                  const std::string& what);

// Each nothing when a question is open. Failure codes: table.few (fewer than two points, or no
// bend and no length), table.cell, ask.choice, ask.length, those of geometry.
base::Result<std::optional<Line>> line_of_corners(const RowsAsLine& in, Asking& asking);
base::Result<std::optional<Line>> line_of_bends(const RowsAsLine& in, Asking& asking);

}  // namespace bight::exchange

// A measured piece as a table: a row for each bend, or for each end and corner; cells stay empty
// where nothing was measured.
#pragma once

#include <string>
#include <string_view>

#include "exchange/measured_piece.h"

namespace bight::exchange {

struct MeasuredTableOptions {
  std::size_t num_bends = 0;   // of the part
  std::size_t num_points = 0;  // its ends and corners
  Answers answers;             // to "units" and "decimal"
};

// Columns by their headings, in any order: those of bend tables and point lists (tables.md), and
// "set", "fed", "turned", "d max", "d min", "wall". A table of bends has one row a bend, and one
// more where the last straight was measured, too. The first bend's rotation is passed over.
// An angle is the change of direction unless its heading says included.
// Questions: ask.units, ask.decimal.
// Failure codes: those of table_text.h and table_grid.h; measured.columns (no heading that says
// what was measured, or one twice), measured.rows (not as many rows as the part has bends or
// points), table.cell, ask.choice.
base::Result<MeasuredPiece> read_measured_table(std::string_view bytes, const std::string& file,
                                                const MeasuredTableOptions& options);

}  // namespace bight::exchange

// One row of the catalogue with everything a person should know beside it.
#pragma once

#include <optional>
#include <string>

#include "stock/catalogue.h"

namespace bight::stock {

// A listed size: its tolerances by delivery standard, printed bend radii, and notes on what is
// unconfirmed or easily confused.
StockAnswer listed_answer(const SizeTables& tables, const SizeRow& row);

// A section as typed: no standard, no source; tolerances where the outside diameter is one of
// precision tube.
StockAnswer unlisted_answer(const SizeTables& tables, Section section,
                            std::optional<CornerRange> corner);

// "38.1 mm (1-1/2 in)".
std::string both_units(double length_mm);

}  // namespace bight::stock

// Looking up pipe: it is named by a size that it does not measure.
#pragma once

#include <optional>
#include <string>

#include "base/result.h"
#include "stock/lookup.h"

namespace bight::stock {

// Finds pipe by NPS, DN or outside diameter, with schedule, series or wall. The notes say what a
// name measures, that tube of the same name measures something else, and where inch pipe and EN
// pipe of one DN differ.
// Failure codes: stock.incomplete, stock.units, stock.gauge, section.*.
base::Status search_pipe(Lookup& lookup);

// The outside diameter of pipe whose NPS, taken as a length, is this; nothing if there is none.
std::optional<double> named_pipe_outside_mm(const SizeTables& tables, double nominal_mm);

}  // namespace bight::stock

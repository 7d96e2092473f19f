// The points of a table as a part document writes them, with the cells as they were typed.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <string_view>

#include "exchange/question.h"

namespace bight::exchange {

// The [line] of a part file in the unit of the reading. Cells that are plain numbers in that unit
// become numbers; fractions and cells with units of their own stay text. Nothing when the table
// holds bends, when a question is open, or when a radius cannot be written as it stands. A caller
// compares what it means with the line read: this function tidies nothing.
// Failure codes: those of table_text.h, table_grid.h, table_columns.h.
base::Result<std::optional<nlohmann::ordered_json>> typed_corners(std::string_view bytes,
                                                                  const std::string& file,
                                                                  const LineOptions& options);

}  // namespace bight::exchange

// Bend tables and point lists as JSON. docs/formats/bends.schema.json and corners.schema.json
// describe them.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <string_view>

#include "exchange/question.h"

namespace bight::exchange {

// {"schema": 1, "table": "bends", "name": …, "bends": […], "last_straight_mm": …, "radius_is": …,
// "start": {…}}. Lengths in mm, angles in degrees, rotations relative and right-hand positive.
// Exact: reading it gives the same table and start (angles to the last digit of a double).
nlohmann::ordered_json bends_json(const Line& line, const std::string& name);

// {"schema": 1, "table": "corners", "name": …, "corners": [{"x_mm", "y_mm", "z_mm", "radius_mm"}]},
// radius_mm null at the ends.
nlohmann::ordered_json corners_json(const Line& line, const std::string& name);

// Reads either. May ask ask.radius where a corner that turns has null.
// Failure codes: json.size, json.syntax, json.schema (another schema or table), json.key (missing
// or unknown), json.value (not of its kind, not finite, out of range), table.many, table.few, those
// of geometry.
base::Result<LineReading> read_table_json(std::string_view text, const std::string& file,
                                          const LineOptions& options = {});

}  // namespace bight::exchange

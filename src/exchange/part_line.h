// The [line] table of a part file: where the centreline runs.
#pragma once

#include <vector>

#include "base/result.h"
#include "exchange/toml_fields.h"
#include "geometry/bend_table.h"
#include "geometry/frame.h"
#include "part/finding.h"

namespace bight::exchange {

struct Line {
  geometry::BendTable table;
  geometry::Frame start;
  bool radii_are_die = false;
  std::vector<part::Finding> findings;  // what was tidied or dropped
};

// size_mm is the tube's size across the drawing, for dimensions drawn to a face.
base::Result<Line> read_line(const toml::table& table, const TomlContext& context, double size_mm);

}  // namespace bight::exchange

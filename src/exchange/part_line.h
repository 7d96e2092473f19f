// The [line] table of a part file: where the centreline runs.
#pragma once

#include <vector>

#include "base/result.h"
#include "exchange/fields.h"
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

// Reads the fields of [line]. size_mm is the tube's size across the drawing, for dimensions drawn
// to a face. Failure codes: those of fields.h and geometry, part.line, part.radius.
base::Result<Line> read_line(Fields f, double size_mm);

}  // namespace bight::exchange

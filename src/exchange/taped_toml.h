// The [measured] table of a part file: a sample as measured with tape, protractor and level.
#pragma once

#include "base/result.h"
#include "exchange/fields.h"
#include "exchange/part_line.h"
#include "geometry/taped.h"

namespace bight::exchange {

// A centreline from readings, in place of read_line. size_mm is the tube's size across its bends.
// The findings say which reading moves the far end most. docs/formats/measured.md lists the keys.
// Failure codes: those of fields.h, of geometry::bend_table_of, and part.radius (none or too
// many).
base::Result<Line> read_measured(Fields f, double size_mm);

// What the readings' errors do to the far end: taped.far-end and the readings that matter most.
std::vector<part::Finding> taped_findings(const geometry::Taped& taped);

}  // namespace bight::exchange

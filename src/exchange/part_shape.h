// shape = "…" in a part file: named shapes with their dimensions.
#pragma once

#include <string_view>
#include <vector>

#include "base/result.h"
#include "exchange/fields.h"
#include "geometry/faces.h"
#include "geometry/shapes.h"

namespace bight::exchange {

// The shape that the line's keys describe. Overall dimensions are drawn to the given face of a
// tube of this size. Failure codes: those of fields.h and geometry/shapes.h, with the
// place.
base::Result<geometry::Shape> read_shape(Fields& line, geometry::Face drawn_to, double size_mm);

// The words that may follow shape =.
std::vector<std::string_view> shape_words();

}  // namespace bight::exchange

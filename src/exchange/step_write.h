// A bent tube as a STEP file: exact solid of planes, cylinders and tori, and its centreline.
#pragma once

#include <string>

#include "base/result.h"
#include "geometry/centreline.h"
#include "stock/section.h"

namespace bight::exchange {

enum class StepUnit { kMillimetre, kInch };

struct StepWriteOptions {
  std::string name = "tube";  // product name, UTF-8
  StepUnit unit = StepUnit::kMillimetre;
  // ISO 8601 time of writing for the file's header. Passed in, so that equal input gives equal
  // bytes.
  std::string written = "1970-01-01T00:00:00";
};

// Part 21 text (ISO 10303-21) of AP214 with one solid and the centreline as a curve of straights
// and arcs in the same place. The section's height lies along the centreline's first inward
// direction and keeps its place through straights and bends; ends are square. Surfaces are exact.
// Failure codes: step.overlap (a straight of negative length), step.radius (a bend inside the
// section's own half height), step.rotation (a rectangular section whose bend plane is not turned
// by quarter turns: no plane, cylinder or torus follows it), step.length (no length at all).
base::Result<std::string> step_text(const stock::Section& section, const geometry::Centreline& line,
                                    const StepWriteOptions& options = {});

// The same into a file, which is replaced when it exists.
// Further failure code: step.write (the file cannot be written).
base::Status write_step(const std::string& path, const stock::Section& section,
                        const geometry::Centreline& line, const StepWriteOptions& options = {});

}  // namespace bight::exchange

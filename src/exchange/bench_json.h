// Corrections and inspections as JSON, for scripts and the page. docs/formats/measured_piece.md
// describes them; correction.schema.json and inspection.schema.json check them.
#pragma once

#include <nlohmann/json.hpp>

#include "inspection/inspect.h"
#include "planning/bench_program.h"

namespace bight::exchange {

// Lengths in mm, angles in degrees. Keys stay as they are once published; new ones may be added.
nlohmann::ordered_json correction_json(const planning::Plan& plan,
                                       const planning::BenchCorrection& correction,
                                       const inspection::Measured& measured);

nlohmann::ordered_json inspection_json(const part::Part& part,
                                       const inspection::Inspection& inspection,
                                       const inspection::Agreement& agreement,
                                       const inspection::Measured& measured);

}  // namespace bight::exchange

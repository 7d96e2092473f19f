// Corrections and inspections as text for a terminal, as a setter reads them.
#pragma once

#include <string>

#include "base/length.h"
#include "exchange/measured_piece.h"
#include "inspection/inspect.h"
#include "planning/bench_program.h"

namespace bight::app {

// The corrected program, old and new side by side, marks and cut length, findings.
std::string correction_text(const planning::Plan& plan, const planning::BenchCorrection& correction,
                            const exchange::MeasuredPiece& piece, const base::LengthStyle& style,
                            bool colour);

// Readings, points under the agreed way of laying over and beside it the others where they
// disagree, sections, findings, verdict.
std::string inspection_text(const part::Part& part, const inspection::Inspection& inspection,
                            const inspection::Agreement& agreement,
                            const exchange::MeasuredPiece& piece, const base::LengthStyle& style,
                            bool colour);

}  // namespace bight::app

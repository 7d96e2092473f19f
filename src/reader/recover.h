// Scan -> reading: the tube in it, its table, its ends, how well they fit, what was left out.
#pragma once

#include "base/result.h"
#include "exchange/step_reading.h"
#include "reader/scan.h"

namespace bight::reader {

// Finds the one tube in the scan and describes it. Free-form faces are recognised first.
// The longest tube counts; everything else is named in the findings.
// Failure codes: step.not-a-tube, step.section, step.table (see exchange::read_step).
base::Result<exchange::StepReading> recover(Scan scan, bool swap_ends = false);

}  // namespace bight::reader

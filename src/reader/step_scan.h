// STEP file -> scan, through Open CASCADE. The only reader code that knows the kernel.
#pragma once

#include <istream>

#include "base/result.h"
#include "reader/scan.h"

namespace bight::reader {

// Reads Part 21 text and samples every face. Lengths come out in millimetres.
// Nothing the kernel prints reaches any stream. Exceptions of the kernel become failures, except
// that memory it cannot have is reported as std::bad_alloc for the helper to end on.
// Failure codes: step.syntax (not Part 21, or cut short), step.empty (no faces in it).
base::Result<Scan> scan_step(std::istream& input);

}  // namespace bight::reader

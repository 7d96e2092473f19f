// A part as a file of another kind.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/length.h"
#include "base/result.h"
#include "part/part.h"
#include "planning/plan.h"

namespace bight::service {

struct OutputKind {
  std::string_view name;               // "step"
  std::string_view ending;             // ".step"
  std::string_view type;               // media type
  std::vector<std::string_view> what;  // what it may hold, the usual first
};

// Every kind that is written.
const std::vector<OutputKind>& output_kinds();

struct OutputWish {
  std::string to;    // name of the kind
  std::string what;  // empty: the usual
  base::LengthUnit unit = base::LengthUnit::kMillimetre;
  double tolerance_mm = 0.05;  // how far triangles may lie from the true skin
  std::string date;            // "2026-01-31", for files that carry one
};

// The bytes. `plan` is needed for a strip only.
// Failure codes: convert.format, convert.what, convert.plan (a strip without a plan), and those of
// the writers.
base::Result<std::string> write_output(const part::Part& part, const planning::Plan* plan,
                                       const OutputWish& wish);

}  // namespace bight::service

// General tolerances of lengths and angles (ISO 2768-1, ISO 13920) as a table.
#pragma once

#include <optional>
#include <string_view>

#include "base/angle.h"
#include "base/result.h"
#include "stock/provenance.h"

namespace bight::rules {

struct LengthTolerance {
  double plus_minus_mm = 0.0;
  stock::Provenance provenance = stock::Provenance::kUnconfirmed;
};

struct AngleTolerance {
  base::Angle plus_minus;
  stock::Provenance provenance = stock::Provenance::kUnconfirmed;
};

// Plus and minus for a nominal length; for an angle, by the length of its shorter leg. A size on a
// limit belongs to the lower range. Nothing when the standard has no value there.
// standard: "ISO 2768-1" or "ISO 13920"; tolerance_class: "f", "m", "c", "v" or "A" to "D".
// Failure codes: csv.*, table.* of the built-in table only.
// Source: data/tolerances.csv (table pages; some cells recalled, marked so).
base::Result<std::optional<LengthTolerance>> length_tolerance_of(std::string_view standard,
                                                                 std::string_view tolerance_class,
                                                                 double length_mm);
base::Result<std::optional<AngleTolerance>> angle_tolerance_of(std::string_view standard,
                                                               std::string_view tolerance_class,
                                                               double shorter_leg_mm);

}  // namespace bight::rules

// What a fitted scan has to say, in words.
#pragma once

#include <optional>
#include <vector>

#include "geometry/fit_tube.h"
#include "part/finding.h"

namespace bight::exchange {

// Notes and cautions on residuals, diameter, girth, holes, hidden bends, unsure numbers, a radius
// that all bends could share, and which end is A. od_mm is the caliper's.
std::vector<part::Finding> scan_findings(const geometry::TubeFit& fit, std::optional<double> od_mm);

}  // namespace bight::exchange

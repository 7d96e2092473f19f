// How far each entry of a program is off, from all readings of one piece. Used by correction.cpp.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "inspection/correction.h"

namespace bight::inspection {

// One entry of entries(wanted): what the piece has less what is wanted, mm or rad.
struct EntryError {
  bool read = false;  // some reading tells of it
  double off = 0.0;
  double sigma = 0.0;        // of off, one sigma, mm or rad
  double spread = 0.0;       // of the process, one sigma, mm or rad
  std::string weak_because;  // what makes its own reading weak
};

struct CorrectionFit {
  std::vector<EntryError> errors;
  std::optional<double> points_rms_mm;
};

// Failure code: inspect.points.
base::Result<CorrectionFit> fit_entries(const CorrectionRequest& request);

// Root mean square distance of the corner points after best fit; 0 when they do not pair.
double rms_of_corners(const geometry::BendTable& a, const geometry::BendTable& b);

// Readings of a protractor or level need this much straight on both sides; shorter legs read worse
// in proportion (common practice, no source).
inline constexpr double kGaugeBase_mm = 60.0;

}  // namespace bight::inspection

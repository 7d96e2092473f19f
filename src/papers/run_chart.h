// The control chart of one bend of a run, to pin up or to look at.
#pragma once

#include <string>
#include <vector>

#include "base/result.h"
#include "papers/cairo_canvas.h"
#include "running/watch.h"

namespace bight::papers {

struct ChartWords {
  std::string title;  // run and part
  std::string date;
  std::optional<double> tolerance_deg;
};

// Readings as dots over their pieces, the smoothed value as a line, limits dashed, tolerance heavy;
// moving ranges below; the advice in words. With nothing measured it says so. The canvas must be at
// least 100 mm wide and 80 mm high.
void draw_run_chart(const running::StepWatch& watch, const ChartWords& words, Canvas& canvas);

// On 210 × 148 mm. Failure code: papers.drawing.
base::Result<std::vector<std::string>> run_chart_files(const running::StepWatch& watch,
                                                       const ChartWords& words, Format format);

}  // namespace bight::papers

// The printed set-up sheet: one page to pin to the machine, more when the bends need it.
#pragma once

#include <string>

#include "base/length.h"
#include "papers/cairo_canvas.h"
#include "planning/plan.h"

namespace bight::papers {

enum class Paper { kA4, kLetter };

double paper_width_mm(Paper paper);
double paper_height_mm(Paper paper);

struct SheetOptions {
  Paper paper = Paper::kA4;
  base::LengthStyle length;  // how marks and lengths are printed; sizes of stock stay decimal
  std::string date;          // printed as it is; no clock is read
};

// Draws the sheet on the canvas, which must be at least A5 in size, and leaves the last page
// open. Every number comes from the plan; nothing is worked out here but sums.
void draw_sheet(const planning::Plan& plan, const SheetOptions& options, Canvas& canvas);

// The sheet as the bytes of a file: one for PDF, one per page for SVG and PNG.
// Failure code: papers.drawing.
base::Result<std::vector<std::string>> sheet_files(const planning::Plan& plan,
                                                   const SheetOptions& options, Format format);

// Writes the sheet; the path's ending (.pdf, .svg, .png) says as what. Pages after the first of
// an SVG or PNG go beside it as name-2.svg, name-3.svg.
// Failure codes: papers.format (another ending), papers.write (the file cannot be written),
// papers.drawing.
base::Status write_sheet(const planning::Plan& plan, const SheetOptions& options,
                         const std::string& path);

}  // namespace bight::papers

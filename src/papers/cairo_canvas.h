// Canvas over Cairo and Pango.
#pragma once

#include <memory>
#include <string>

#include "papers/canvas.h"

namespace bight::papers {

enum class Format { kPdf, kSvg, kPng };

struct CanvasOptions {
  Format format = Format::kPdf;
  double width_mm = 210.0;
  double height_mm = 297.0;
  std::string title;           // for the PDF's own description
  double png_px_per_mm = 6.0;  // about 150 to the inch
};

// A white canvas with its first page open. Type is Noto Sans; where that is not installed, the
// system's sans serif. The same drawing gives the same bytes: no clock is read.
// Failure code: papers.drawing (sizes that are not positive, or the library refuses).
base::Result<std::unique_ptr<Canvas>> open_canvas(const CanvasOptions& options);

}  // namespace bight::papers

// The printed inspection report of one piece.
#pragma once

#include <string>

#include "inspection/inspect.h"
#include "papers/sheet.h"
#include "planning/plan.h"

namespace bight::papers {

// What a report is made of; all of it outlives the report.
struct ReportInput {
  const planning::Plan& plan;
  const inspection::Measured& measured;
  const inspection::Inspection& inspection;
  const inspection::Agreement& agreement;
  std::string heat;         // as measured; empty: the part's
  std::string measured_on;  // date; may be empty
  std::string measured_by;
  std::string gauge;
};

// Verdict, what was agreed, how the piece lies off the drawing (beside the agreed way of laying it
// over the one that judges it otherwise), every reading with its limit and error, sections against
// rules, dimensions a tape can check, findings, lines to sign. Leaves the last page open. The
// canvas is at least A5.
void draw_report(const ReportInput& input, const SheetOptions& options, Canvas& canvas);

// Failure code: papers.drawing.
base::Result<std::vector<std::string>> report_files(const ReportInput& input,
                                                    const SheetOptions& options, Format format);

}  // namespace bight::papers

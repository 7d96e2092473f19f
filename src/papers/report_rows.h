// Tables of the inspection report, row by row.
#pragma once

#include "papers/block.h"
#include "papers/inspection_report.h"

namespace bight::papers {

// How the report words numbers: lengths a digit finer than a set-up sheet, always decimal.
class ReportWording {
 public:
  explicit ReportWording(const base::LengthStyle& style);

  const Wording& plain() const { return plain_; }  // as the sheet prints
  const Wording& fine() const { return fine_; }    // one digit more

  std::string value(double value, const std::string& unit) const;         // "1.86", "0.25°"
  std::string signed_value(double value, const std::string& unit) const;  // "+1.86", "−0.25°"
  std::string value(const std::optional<double>& number, const std::string& unit) const;

 private:
  Wording plain_;
  Wording fine_;
};

// A column: its heading, its share of the width, how its cells stand.
struct ReportColumn {
  std::string heading;
  double share = 1.0;
  Align align = Align::kRight;
};

// One row; `marked` rows print bold on grey.
struct ReportRow {
  std::vector<std::string> cells;
  bool marked = false;
};

Group table_group(std::string title, std::vector<ReportColumn> columns,
                  std::vector<ReportRow> rows);

Group readings_group(const ReportInput& input, const ReportWording& wording);
// Deviations of the points and the lines judged from them.
Group laid_group(const inspection::Laid& laid, bool agreed, const ReportWording& wording);
Group sections_group(const ReportInput& input, const Canvas& canvas, double width_mm);
// What a tape can reach on the piece, with room to write.
Group tape_group(const ReportInput& input, const ReportWording& wording);
Group report_findings_group(const ReportInput& input, const Canvas& canvas, double width_mm);

}  // namespace bight::papers

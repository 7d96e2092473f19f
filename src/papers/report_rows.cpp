#include "papers/report_rows.h"

#include <fmt/format.h>

#include "papers/ruled.h"

namespace bight::papers {

using inspection::Line;
using inspection::Verdict;

namespace {

constexpr double kReportRow_mm = 4.7;
constexpr double kCellPad_mm = 1.0;

base::LengthStyle finer(base::LengthStyle style) {
  style.form = base::LengthStyle::Form::kDecimal;
  style.decimals = style.unit == base::LengthUnit::kInch ? 4 : 2;
  return style;
}

// The typographic minus does not get lost beside a greasy thumb as the hyphen does.
std::string with_minus(std::string text) {
  if (!text.empty() && text.front() == '-') text.replace(0, 1, "−");
  return text;
}

Block table_row(const std::vector<ReportColumn>& columns, ReportRow row, bool heading) {
  return {
      kReportRow_mm, [columns, row = std::move(row), heading](Canvas& canvas, const Box& box) {
        if (row.marked) fill_box(canvas, box, 0.88);
        double total = 0.0;
        for (const ReportColumn& column : columns) total += column.share;
        double x_mm = box.x_mm;
        for (std::size_t i = 0; i < columns.size(); ++i) {
          const double width_mm = box.width_mm * columns[i].share / total;
          const Box cell{x_mm + kCellPad_mm, box.y_mm, width_mm - 2.0 * kCellPad_mm, box.height_mm};
          const std::string& text = heading                ? columns[i].heading
                                    : i < row.cells.size() ? row.cells[i]
                                                           : "";
          if (!text.empty()) {
            const double size_pt = heading ? kSmall_pt : kBody_pt;
            text_in(canvas, cell, text, {size_pt, row.marked, columns[i].align}, 7.0);
          }
          x_mm += width_mm;
        }
        line(canvas, {box.x_mm, box.bottom_mm()}, {box.right_mm(), box.bottom_mm()},
             heading ? kRule_mm : kThin_mm);
      }};
}

ReportRow line_row(const Line& line, const ReportWording& wording) {
  const bool distance = !line.wanted.has_value();
  return {
      {line.what, wording.value(line.wanted, line.unit), wording.value(line.measured, line.unit),
       distance ? wording.value(line.off, line.unit) : wording.signed_value(line.off, line.unit),
       line.limit ? (distance ? "" : "±") + wording.value(*line.limit, line.unit) : "–",
       "±" + wording.value(line.error, line.unit), std::string(word(line.verdict))},
      line.verdict == Verdict::kOutside || line.verdict == Verdict::kUndecided};
}

const std::vector<ReportColumn>& line_columns() {
  static const std::vector<ReportColumn> kColumns = {{"what", 3.4, Align::kLeft},
                                                     {"nominal", 1.5},
                                                     {"measured", 1.5},
                                                     {"off", 1.4},
                                                     {"allowed", 1.3},
                                                     {"reading good to", 1.7},
                                                     {"verdict", 1.7, Align::kLeft}};
  return kColumns;
}

// A sign and a text that may take several lines.
Block text_row(std::string text, std::optional<part::Severity> severity, const Canvas& canvas,
               double width_mm) {
  const double left_mm = severity ? 6.0 : kCellPad_mm;
  const TextStyle style{kBody_pt, false, Align::kLeft, width_mm - left_mm - kCellPad_mm};
  const double height_mm = canvas.measure(text, style).height_mm + 1.4;
  return {height_mm,
          [text = std::move(text), severity, style, left_mm](Canvas& on, const Box& box) {
            if (severity) severity_sign(on, {box.x_mm + 3.0, box.y_mm + 2.6}, 3.6, *severity);
            on.text({box.x_mm + left_mm, box.y_mm + 0.4}, text, style);
            line(on, {box.x_mm, box.bottom_mm()}, {box.right_mm(), box.bottom_mm()}, kThin_mm);
          }};
}

}  // namespace

ReportWording::ReportWording(const base::LengthStyle& style) : plain_(style), fine_(finer(style)) {}

std::string ReportWording::value(double value, const std::string& unit) const {
  return unit == "deg" ? fine_.fine_angle(base::Angle::degrees(value))
                       : with_minus(fine_.length(value));
}

std::string ReportWording::signed_value(double number, const std::string& unit) const {
  const std::string text = value(number, unit);
  const bool nought = text.find_first_of("123456789") == std::string::npos;
  return number > 0.0 && !nought ? "+" + text : text;
}

std::string ReportWording::value(const std::optional<double>& number,
                                 const std::string& unit) const {
  return number ? value(*number, unit) : "";
}

Group table_group(std::string title, std::vector<ReportColumn> columns,
                  std::vector<ReportRow> rows) {
  Group group{std::move(title), {}, {}};
  group.rows.push_back(table_row(columns, {}, true));
  for (ReportRow& row : rows) group.rows.push_back(table_row(columns, std::move(row), false));
  return group;
}

Group readings_group(const ReportInput& input, const ReportWording& wording) {
  std::vector<ReportRow> rows;
  for (const Line& line : input.inspection.readings) rows.push_back(line_row(line, wording));
  return table_group(
      fmt::format("READINGS  (lengths {}, angles = change of direction)", wording.plain().unit()),
      line_columns(), std::move(rows));
}

Group laid_group(const inspection::Laid& laid, bool agreed, const ReportWording& wording) {
  const inspection::Deviation& deviation = laid.deviation;
  std::vector<ReportRow> rows;
  for (const inspection::PointOff& point : deviation.points) {
    rows.push_back(
        {{point.name, wording.signed_value(point.off_mm.x(), "mm"),
          wording.signed_value(point.off_mm.y(), "mm"),
          wording.signed_value(point.off_mm.z(), "mm"), wording.signed_value(point.along_mm, "mm"),
          wording.value(point.distance_mm, "mm")}});
  }
  Group group = table_group(fmt::format("LAID OVER BY {}{}: {}", words(deviation.by),
                                        agreed ? " (agreed)" : "", word(laid.verdict)),
                            {{"measured less drawn", 2.0, Align::kLeft},
                             {"x", 1.2},
                             {"y", 1.2},
                             {"z", 1.2},
                             {"along the leg", 1.4},
                             {"distance", 1.4}},
                            std::move(rows));
  group.rows.push_back(table_row(line_columns(), {}, true));
  for (const Line& line : laid.lines) {
    group.rows.push_back(table_row(line_columns(), line_row(line, wording), false));
  }
  return group;
}

Group sections_group(const ReportInput& input, const Canvas& canvas, double width_mm) {
  Group group{"SECTIONS OF BENDS AGAINST RULES", {}, {}};
  for (const inspection::SectionJudgement& section : input.inspection.sections) {
    std::string text = fmt::format("Bend {}:", section.bend);
    if (section.roundness) {
      text +=
          fmt::format(" least of largest diameter {:.3f}, out of round {:.1f} % of nominal.",
                      section.roundness->round_ratio, 100.0 * section.roundness->of_nominal_ratio);
    }
    if (section.wall_loss_ratio) {
      text += fmt::format(" Wall lost {:.1f} %.", 100.0 * *section.wall_loss_ratio);
    }
    group.rows.push_back(text_row(std::move(text), std::nullopt, canvas, width_mm));
    for (const rules::RuleCheck& check : section.checks) {
      const bool missed = check.verdict == rules::Verdict::kNotMet;
      group.rows.push_back(
          text_row(fmt::format("{}: {} ({} {}, {}; {})", rules::word(check.verdict), check.message,
                               check.code, check.edition, check.clause, check.notice),
                   missed ? part::Severity::kStop : part::Severity::kNote, canvas, width_mm));
    }
  }
  return group;
}

Group tape_group(const ReportInput& input, const ReportWording& wording) {
  std::vector<ReportRow> rows;
  for (const planning::CheckDimension& check : input.plan.checks) {
    rows.push_back({{check.label, wording.plain().length(check.value_mm), "", ""}});
  }
  return table_group(fmt::format("TO CHECK WITH A TAPE  ({})", wording.plain().unit()),
                     {{"dimension", 3.6, Align::kLeft},
                      {"nominal", 1.2},
                      {"taped", 1.4, Align::kLeft},
                      {"by", 1.0, Align::kLeft}},
                     std::move(rows));
}

Group report_findings_group(const ReportInput& input, const Canvas& canvas, double width_mm) {
  Group group{"FINDINGS", {}, {}};
  for (const part::Finding& finding : input.inspection.findings) {
    std::string text = finding.message;
    if (!finding.remedy.empty()) text += " – " + finding.remedy;
    if (!finding.source.empty()) text += " (" + finding.source + ")";
    group.rows.push_back(text_row(std::move(text), finding.severity, canvas, width_mm));
  }
  return group;
}

}  // namespace bight::papers

#include "papers/sheet_lists.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "papers/ruled.h"

namespace bight::papers {

namespace {

constexpr double kListPad_mm = 1.3;

// A row of text with something drawn in the margin before it.
Block paragraph(const Canvas& canvas, std::string text, TextStyle style, double width_mm,
                double indent_mm, double gap_mm,
                std::function<void(Canvas&, const Box&)> margin = {}) {
  style.wrap_mm = width_mm - indent_mm - kListPad_mm;
  const double height_mm = canvas.measure(text, style).height_mm + gap_mm;
  return {height_mm,
          [text = std::move(text), style, indent_mm, gap_mm, margin](Canvas& on, const Box& box) {
            on.text({box.x_mm + indent_mm, box.y_mm + gap_mm / 2.0}, text, style);
            if (margin) margin(on, box);
          }};
}

std::string_view severity_heading(part::Severity severity) {
  switch (severity) {
    case part::Severity::kStop:
      return "STOP";
    case part::Severity::kCaution:
      return "CAUTION";
    case part::Severity::kNote:
      return "NOTE";
  }
  return {};
}

constexpr double kSign_mm = 8.5;

// The same said of several bends.
struct Told {
  part::Finding finding;
  std::vector<std::size_t> bends;  // 1-based, as found; empty: of no bend
};

std::vector<Told> told(const std::vector<part::Finding>& findings) {
  std::vector<Told> out;
  for (const part::Finding& finding : findings) {
    const auto same = std::find_if(out.begin(), out.end(), [&](const Told& one) {
      return finding.bend && one.finding.bend && one.finding.code == finding.code &&
             one.finding.message == finding.message && one.finding.remedy == finding.remedy;
    });
    Told& one = same != out.end() ? *same : out.emplace_back(Told{finding, {}});
    if (finding.bend) one.bends.push_back(*finding.bend);
  }
  return out;
}

// ", bend 3", ", bends 1, 2, 5", or nothing.
std::string bends_words(const Told& one) {
  if (one.bends.empty()) return "";
  return fmt::format(", bend{} {}", one.bends.size() == 1 ? "" : "s", fmt::join(one.bends, ", "));
}

// A note is told in one run of text; its code is for programs and is left to them.
Block note_block(const Writer& writer, const Told& one, double width_mm) {
  const part::Finding& finding = one.finding;
  std::string text = "Note" + bends_words(one);
  text += ": " + finding.message;
  if (!finding.remedy.empty()) text += "  Do: " + finding.remedy;
  const TextStyle style{kBody_pt, false, Align::kLeft, width_mm - kSign_mm - kListPad_mm};
  const double height_mm = std::max(6.0, writer.canvas.measure(text, style).height_mm + 1.2);
  return {height_mm, [text, style](Canvas& canvas, const Box& box) {
            severity_sign(canvas, {box.x_mm + 4.4, box.y_mm + 3.0}, 4.4, part::Severity::kNote);
            canvas.text({box.x_mm + kSign_mm, box.y_mm + 0.5}, text, style);
            line(canvas, {box.x_mm, box.bottom_mm()}, {box.right_mm(), box.bottom_mm()}, kThin_mm);
          }};
}

// A stop or a caution: its weight and bend in bold, what is wrong, what to do. Who says so stands
// by a stop, where it may be disputed; the plan's other papers have it for all.
Block finding_block(const Writer& writer, const Told& one, double width_mm) {
  const part::Finding& finding = one.finding;
  if (finding.severity == part::Severity::kNote) return note_block(writer, one, width_mm);
  const std::string heading = std::string(severity_heading(finding.severity)) + bends_words(one);
  std::string text = finding.message;
  if (!finding.remedy.empty()) text += "  Do: " + finding.remedy;
  if (finding.severity == part::Severity::kStop && !finding.source.empty()) {
    text += "\nSource: " + finding.source;
  }
  const TextStyle body{kBody_pt, false, Align::kLeft, width_mm - kSign_mm - kListPad_mm};
  const TextStyle bold{kBody_pt, true};
  const TextStyle code{kSmall_pt, false, Align::kRight};
  const double heading_mm = writer.canvas.measure(heading, bold).height_mm;
  const double height_mm = heading_mm + writer.canvas.measure(text, body).height_mm + 1.4;
  return {height_mm,
          [=, severity = finding.severity, name = finding.code](Canvas& canvas, const Box& box) {
            severity_sign(canvas, {box.x_mm + 4.4, box.y_mm + 3.8}, 5.0, severity);
            canvas.text({box.x_mm + kSign_mm, box.y_mm + 0.6}, heading, bold);
            canvas.text({box.right_mm() - kListPad_mm, box.y_mm + 0.9}, name, code);
            canvas.text({box.x_mm + kSign_mm, box.y_mm + 0.6 + heading_mm}, text, body);
            line(canvas, {box.x_mm, box.bottom_mm()}, {box.right_mm(), box.bottom_mm()}, kThin_mm);
          }};
}

constexpr double kWanted_mm = 20.0;
constexpr double kMeasured_mm = 14.0;

void check_rules(Canvas& canvas, const Box& box) {
  frame(canvas, box, kThin_mm);
  for (const double from_right_mm :
       {kWanted_mm + 2.0 * kMeasured_mm, 2.0 * kMeasured_mm, kMeasured_mm}) {
    line(canvas, {box.right_mm() - from_right_mm, box.y_mm},
         {box.right_mm() - from_right_mm, box.bottom_mm()}, kThin_mm);
  }
}

// The names of the columns, white on the title bar.
void check_columns(Canvas& canvas, const Box& bar, const std::string& unit) {
  const TextStyle style{kBody_pt, true, Align::kCentre, 0.0, 1.0};
  double x_mm = bar.right_mm() - kWanted_mm - 2.0 * kMeasured_mm;
  text_in(canvas, {x_mm, bar.y_mm, kWanted_mm, bar.height_mm}, "wanted " + unit, style);
  x_mm += kWanted_mm;
  text_in(canvas, {x_mm, bar.y_mm, kMeasured_mm, bar.height_mm}, "1st", style);
  x_mm += kMeasured_mm;
  text_in(canvas, {x_mm, bar.y_mm, kMeasured_mm, bar.height_mm}, "2nd", style);
}

Block check_row(const Writer& writer, const planning::CheckDimension& check, double width_mm) {
  const double label_mm = width_mm - kWanted_mm - 2.0 * kMeasured_mm - 2.0 * kListPad_mm;
  const double text_mm = text_height_mm(writer.canvas, check.label, {kBody_pt}, label_mm);
  return {std::max(5.8, text_mm + 0.7),
          [&check, label_mm, wanted = writer.wording.length(check.value_mm)](Canvas& canvas,
                                                                             const Box& box) {
            check_rules(canvas, box);
            text_in(canvas, {box.x_mm + kListPad_mm, box.y_mm, label_mm, box.height_mm},
                    check.label, {kBody_pt}, kBody_pt);
            text_in(canvas,
                    {box.right_mm() - kWanted_mm - 2.0 * kMeasured_mm + 0.5, box.y_mm,
                     kWanted_mm - 1.0, box.height_mm},
                    wanted, {12.0, true, Align::kCentre}, kBody_pt);
          }};
}

}  // namespace

std::array<std::size_t, 3> told_counts(const std::vector<part::Finding>& findings) {
  std::array<std::size_t, 3> counts{};
  for (const Told& one : told(findings)) ++counts[static_cast<std::size_t>(one.finding.severity)];
  return counts;
}

Group findings_group(const Writer& writer, double width_mm) {
  Group group{"FINDINGS", {}, {}};
  std::vector<part::Finding> findings = writer.plan.findings;
  part::sort_by_weight(findings);
  for (const Told& one : told(findings)) {
    group.rows.push_back(finding_block(writer, one, width_mm));
  }
  if (findings.empty()) {
    group.rows.push_back(paragraph(writer.canvas, "Nothing stands out in this plan.", {kBody_pt},
                                   width_mm, kListPad_mm, 1.6));
  }
  return group;
}

Group checks_group(const Writer& writer, double width_mm) {
  Group group{"MEASURE", {}, {}};
  const std::string tolerance = tolerance_words(writer.plan.part.tolerance, writer.wording);
  if (!tolerance.empty()) group.title += "  " + tolerance;
  if (writer.plan.checks.empty()) {
    group.rows.push_back(paragraph(writer.canvas, "No check lengths were worked out for this part.",
                                   {kBody_pt}, width_mm, kListPad_mm, 1.6));
    return group;
  }
  group.on_title = [unit = std::string(writer.wording.unit())](Canvas& canvas, const Box& bar) {
    check_columns(canvas, bar, unit);
  };
  for (const planning::CheckDimension& check : writer.plan.checks) {
    group.rows.push_back(check_row(writer, check, width_mm));
  }
  return group;
}

namespace {

constexpr double kLabel_mm = 20.0;

// A white-on-black name at the left of a framed row.
void side_label(Canvas& canvas, const Box& box, std::string_view name) {
  frame(canvas, box, kRule_mm);
  const Box label{box.x_mm, box.y_mm, kLabel_mm, box.height_mm};
  fill_box(canvas, label, 0.0);
  text_in(canvas, label.inset(1.0), name, {10.0, true, Align::kCentre, 0.0, 1.0}, 10.0);
}

std::vector<std::string> checklist(const planning::Plan& plan) {
  bool mandrel = false;
  bool wiper = false;
  for (const planning::UsedDie& used : plan.dies) {
    mandrel = mandrel || used.die.mandrel;
    wiper = wiper || used.die.wiper;
  }
  std::vector<std::string> lines;
  if (plan.dies.size() == 1) lines.push_back("Die D1 on and tight, groove clean");
  if (plan.dies.size() != 1) lines.push_back("Dies on and tight, grooves clean");
  lines.push_back("Bend axis and die stand at zero");
  lines.push_back("Support set anew (every profile)");
  if (mandrel) lines.push_back("Mandrel set and lubricated");
  if (wiper) lines.push_back("Wiper set and lubricated");
  lines.push_back("Lubricant right; none in the clamp");
  lines.push_back("Blank measured and deburred");
  lines.push_back("Heat number read and noted");
  lines.push_back("A and each X marked on blank");
  if (plan.seam)
    lines.push_back(fmt::format("Seam at {} for bend {}", plan.seam->text, plan.seam->bend));
  if (plan.bender && plan.bender->degree_wheel) lines.push_back("Degree wheel set at step 1");
  lines.push_back("Guard in place, swing path clear");
  lines.push_back("Emergency stop tried");
  return lines;
}

}  // namespace

Block checklist_block(const Writer& writer) {
  constexpr std::size_t kColumns = 3;
  constexpr double kPitch_mm = 4.6;
  const std::vector<std::string> lines = checklist(writer.plan);
  const std::size_t num_rows = (lines.size() + kColumns - 1) / kColumns;
  const double height_mm = kPitch_mm * static_cast<double>(num_rows) + 1.2;
  return {height_mm, [lines, num_rows](Canvas& canvas, const Box& box) {
            side_label(canvas, box, "BEFORE THE FIRST BEND");
            const double x0_mm = box.x_mm + kLabel_mm + 1.6;
            const double column_mm = (box.right_mm() - x0_mm) / kColumns;
            for (std::size_t i = 0; i < lines.size(); ++i) {
              const double x_mm = x0_mm + column_mm * static_cast<double>(i / num_rows);
              const double y_mm = box.y_mm + 0.6 + kPitch_mm * static_cast<double>(i % num_rows);
              tick_box(canvas, {x_mm, y_mm + 0.6}, 3.2);
              text_in(canvas, {x_mm + 4.6, y_mm, column_mm - 5.6, 4.4}, lines[i], {kBody_pt});
            }
          }};
}

Block cautions_block(const Writer& writer, double width_mm) {
  static constexpr const char* kText =
      "Nip points between die, clamp and tube: hands off. The free leg swings: keep its path "
      "empty. "
      "Bent metal stores energy: it springs when unclamped or cut. Cut ends are sharp. Local "
      "codes, "
      "the machine's manual and licensed practice come first. Bight certifies nothing.";
  const TextStyle style{kBody_pt, false, Align::kLeft, width_mm - kLabel_mm - 3.2};
  const double height_mm = writer.canvas.measure(kText, style).height_mm + 1.6;
  return {height_mm, [style](Canvas& canvas, const Box& box) {
            side_label(canvas, box, "BEWARE");
            canvas.text({box.x_mm + kLabel_mm + 1.6, box.y_mm + 0.7}, kText, style);
          }};
}

Block sign_off_block(const Writer& writer) {
  const bool stopped = part::any_stop(writer.plan.findings);
  return {
      10.6, [stopped](Canvas& canvas, const Box& box) {
        static constexpr const char* kNames[] = {"Set up by", "First part checked by",
                                                 "Released to run by"};
        const double cell_mm = box.width_mm / 3.0;
        for (std::size_t i = 0; i < 3; ++i) {
          const Box cell{box.x_mm + cell_mm * static_cast<double>(i), box.y_mm, cell_mm,
                         box.height_mm};
          frame(canvas, cell, kRule_mm);
          if (stopped && i == 2) {
            text_in(canvas, cell.inset(1.0), "NOT TO BE RELEASED", {12.0, true, Align::kCentre});
            continue;
          }
          canvas.text({cell.x_mm + kListPad_mm, cell.y_mm + 0.5}, kNames[i], {kBody_pt, true});
          line(canvas, {cell.x_mm + kListPad_mm, cell.bottom_mm() - 1.6},
               {cell.x_mm + cell_mm * 0.62, cell.bottom_mm() - 1.6}, kThin_mm);
          line(canvas, {cell.x_mm + cell_mm * 0.68, cell.bottom_mm() - 1.6},
               {cell.right_mm() - kListPad_mm, cell.bottom_mm() - 1.6}, kThin_mm);
          canvas.text({cell.x_mm + cell_mm * 0.68, cell.y_mm + 0.5}, "date", {kBody_pt});
        }
      }};
}

void draw_notes(Canvas& canvas, const Box& box) {
  constexpr double kPitch_mm = 8.0;
  frame(canvas, box, kRule_mm);
  canvas.text({box.x_mm + kListPad_mm, box.y_mm + 0.5}, "Seen at the machine", {kBody_pt, true});
  for (double y_mm = box.y_mm + 4.0 + kPitch_mm; y_mm < box.bottom_mm() - 1.0; y_mm += kPitch_mm) {
    line(canvas, {box.x_mm + kListPad_mm, y_mm}, {box.right_mm() - kListPad_mm, y_mm}, kThin_mm);
  }
}

}  // namespace bight::papers

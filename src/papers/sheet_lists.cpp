#include "papers/sheet_lists.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "papers/ruled.h"

namespace bight::papers {

namespace {

constexpr double kPad_mm = 1.3;

// A row of text with something drawn in the margin before it.
Block paragraph(const Canvas& canvas, std::string text, TextStyle style, double width_mm,
                double indent_mm, double gap_mm,
                std::function<void(Canvas&, const Box&)> margin = {}) {
  style.wrap_mm = width_mm - indent_mm - kPad_mm;
  const double height_mm = canvas.measure(text, style).height_mm + gap_mm;
  return {height_mm, [text = std::move(text), style, indent_mm, gap_mm, margin](
                         Canvas& on, const Box& box) {
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
      return "Note";
  }
  return {};
}

Block finding_block(const Writer& writer, const part::Finding& finding, double width_mm) {
  constexpr double kIndent_mm = 8.5;
  std::string heading(severity_heading(finding.severity));
  if (finding.bend) heading += fmt::format(", bend {}", *finding.bend);
  std::string text = finding.message;
  if (!finding.remedy.empty()) text += "\nDo: " + finding.remedy;
  std::string origin = finding.code;
  if (!finding.source.empty()) origin += (origin.empty() ? "" : " · ") + finding.source;
  const TextStyle body{kBody_pt, false, Align::kLeft, width_mm - kIndent_mm - kPad_mm};
  TextStyle bold = body;
  bold.bold = true;
  TextStyle small = body;
  small.size_pt = kSmall_pt;
  const double heading_mm = writer.canvas.measure(heading, bold).height_mm;
  const double text_mm = writer.canvas.measure(text, body).height_mm;
  const double origin_mm = origin.empty() ? 0.0 : writer.canvas.measure(origin, small).height_mm;
  const double height_mm = heading_mm + text_mm + origin_mm + 1.6;
  return {height_mm, [=, severity = finding.severity](Canvas& canvas, const Box& box) {
            severity_sign(canvas, {box.x_mm + 4.4, box.y_mm + 3.4}, 5.0, severity);
            double y_mm = box.y_mm + 0.6;
            canvas.text({box.x_mm + kIndent_mm, y_mm}, heading, bold);
            y_mm += heading_mm;
            canvas.text({box.x_mm + kIndent_mm, y_mm}, text, body);
            y_mm += text_mm;
            if (!origin.empty()) canvas.text({box.x_mm + kIndent_mm, y_mm}, origin, small);
            line(canvas, {box.x_mm, box.bottom_mm()}, {box.right_mm(), box.bottom_mm()}, kThin_mm);
          }};
}

constexpr double kWanted_mm = 22.0;
constexpr double kMeasured_mm = 17.0;

void check_rules(Canvas& canvas, const Box& box) {
  frame(canvas, box, kThin_mm);
  for (const double from_right_mm :
       {kWanted_mm + 2.0 * kMeasured_mm, 2.0 * kMeasured_mm, kMeasured_mm}) {
    line(canvas, {box.right_mm() - from_right_mm, box.y_mm},
         {box.right_mm() - from_right_mm, box.bottom_mm()}, kThin_mm);
  }
}

Block checks_heading(const Wording& wording) {
  return {5.0, [unit = std::string(wording.unit())](Canvas& canvas, const Box& box) {
            fill_box(canvas, box, 0.88);
            check_rules(canvas, box);
            const TextStyle style{kBody_pt, true, Align::kCentre};
            double x_mm = box.right_mm() - kWanted_mm - 2.0 * kMeasured_mm;
            text_in(canvas, {box.x_mm + kPad_mm, box.y_mm, x_mm - box.x_mm - kPad_mm,
                             box.height_mm},
                    "check", {kBody_pt, true});
            text_in(canvas, {x_mm, box.y_mm, kWanted_mm, box.height_mm}, "wanted " + unit, style);
            x_mm += kWanted_mm;
            text_in(canvas, {x_mm, box.y_mm, kMeasured_mm, box.height_mm}, "1st part", style);
            x_mm += kMeasured_mm;
            text_in(canvas, {x_mm, box.y_mm, kMeasured_mm, box.height_mm}, "2nd part", style);
          }};
}

Block check_row(const Writer& writer, const planning::CheckDimension& check, double width_mm) {
  const double label_mm = width_mm - kWanted_mm - 2.0 * kMeasured_mm - 2.0 * kPad_mm;
  const double text_mm = text_height_mm(writer.canvas, check.label, {kBody_pt}, label_mm);
  return {std::max(7.0, text_mm + 1.2),
          [&check, label_mm, wanted = writer.wording.length(check.value_mm)](Canvas& canvas,
                                                                             const Box& box) {
            check_rules(canvas, box);
            text_in(canvas, {box.x_mm + kPad_mm, box.y_mm, label_mm, box.height_mm}, check.label,
                    {kBody_pt}, kBody_pt);
            text_in(canvas,
                    {box.right_mm() - kWanted_mm - 2.0 * kMeasured_mm + 0.5, box.y_mm,
                     kWanted_mm - 1.0, box.height_mm},
                    wanted, {12.0, true, Align::kCentre}, kBody_pt);
          }};
}

}  // namespace

Group findings_group(const Writer& writer, double width_mm) {
  Group group{"FINDINGS", {}};
  std::vector<part::Finding> findings = writer.plan.findings;
  part::sort_by_weight(findings);
  for (const part::Finding& finding : findings) {
    group.rows.push_back(finding_block(writer, finding, width_mm));
  }
  if (findings.empty()) {
    group.rows.push_back(paragraph(writer.canvas, "Nothing stands out in this plan.", {kBody_pt},
                                   width_mm, kPad_mm, 1.6));
  }
  return group;
}

Group checks_group(const Writer& writer, double width_mm) {
  Group group{"MEASURE ON THE PART", {}};
  if (writer.plan.checks.empty()) {
    group.rows.push_back(paragraph(writer.canvas,
                                   "No length on this part can be reached with a tape; measure the "
                                   "angles.",
                                   {kBody_pt}, width_mm, kPad_mm, 1.6));
    return group;
  }
  group.rows.push_back(checks_heading(writer.wording));
  for (const planning::CheckDimension& check : writer.plan.checks) {
    group.rows.push_back(check_row(writer, check, width_mm));
  }
  return group;
}

Group checklist_group(const Writer& writer, double width_mm) {
  const planning::Plan& plan = writer.plan;
  std::string keys;
  bool mandrel = false;
  bool wiper = false;
  for (std::size_t i = 0; i < plan.dies.size(); ++i) {
    keys += (i == 0 ? "" : ", ") + fmt::format("D{}", i + 1);
    mandrel = mandrel || plan.dies[i].die.mandrel;
    wiper = wiper || plan.dies[i].die.wiper;
  }
  std::vector<std::string> lines;
  lines.push_back(fmt::format("Die {}on, tight; groove clean and right for this tube.",
                              keys.empty() ? "" : keys + " "));
  lines.push_back("Bend axis and die stand at zero with the die tangent square to the tube.");
  lines.push_back("Support set anew: every change of profile, size or die needs its own setting.");
  if (mandrel || wiper) {
    lines.push_back(fmt::format("{}{}{} set and lubricated.", mandrel ? "Mandrel" : "",
                                mandrel && wiper ? " and " : "",
                                wiper ? (mandrel ? "wiper" : "Wiper") : ""));
  }
  lines.push_back("Lubricant where this metal and tool ask for it; none in the clamp.");
  lines.push_back("Blank measured, deburred, heat read; A and every X marked on it.");
  if (plan.seam) lines.push_back(fmt::format("Seam at {} o'clock for bend 1.", plan.seam->text));
  if (plan.bender && plan.bender->degree_wheel) {
    lines.push_back("Degree wheel set at step 1 before the tube is clamped.");
  }
  lines.push_back("Guard in place, emergency stop tried, swing path clear to the tip.");
  Group group{"BEFORE THE FIRST BEND", {}};
  for (std::string& text : lines) {
    group.rows.push_back(paragraph(writer.canvas, std::move(text), {kBody_pt}, width_mm, 6.4, 1.4,
                                   [](Canvas& canvas, const Box& box) {
                                     tick_box(canvas, {box.x_mm + 1.4, box.y_mm + 1.0}, 3.4);
                                   }));
  }
  return group;
}

Group cautions_group(const Writer& writer, double width_mm) {
  static constexpr const char* kLines[] = {
      "Nip points: keep hands away from where the tube runs in between die, clamp and pressure "
      "die.",
      "The free leg swings with the bend: nobody and nothing within its reach.",
      "Bent metal stores energy: stand aside when the clamp opens or a cut comes through.",
      "Cut ends are sharp: gloves while handling, no gloves at turning parts.",
      "Local codes, the machine's manual and licensed practice come before this sheet. Bight works "
      "out numbers; it certifies nothing.",
  };
  Group group{"BEWARE", {}};
  for (const char* text : kLines) {
    group.rows.push_back(paragraph(writer.canvas, text, {kBody_pt}, width_mm, 5.4, 1.0,
                                   [](Canvas& canvas, const Box& box) {
                                     fill_box(canvas, {box.x_mm + 2.0, box.y_mm + 1.9, 1.6, 1.6},
                                              0.0);
                                   }));
  }
  return group;
}

Block sign_off_block() {
  return {13.0, [](Canvas& canvas, const Box& box) {
            static constexpr const char* kNames[] = {"Set up by", "First part checked by",
                                                     "Released to run by"};
            const double cell_mm = box.width_mm / 3.0;
            for (std::size_t i = 0; i < 3; ++i) {
              const Box cell{box.x_mm + cell_mm * static_cast<double>(i), box.y_mm, cell_mm,
                             box.height_mm};
              frame(canvas, cell, kRule_mm);
              canvas.text({cell.x_mm + kPad_mm, cell.y_mm + 0.5}, kNames[i], {kBody_pt, true});
              line(canvas, {cell.x_mm + kPad_mm, cell.bottom_mm() - 2.4},
                   {cell.x_mm + cell_mm * 0.62, cell.bottom_mm() - 2.4}, kThin_mm);
              line(canvas, {cell.x_mm + cell_mm * 0.68, cell.bottom_mm() - 2.4},
                   {cell.right_mm() - kPad_mm, cell.bottom_mm() - 2.4}, kThin_mm);
              canvas.text({cell.x_mm + cell_mm * 0.68, cell.y_mm + 0.5}, "date", {kBody_pt});
            }
          }};
}

void draw_notes(Canvas& canvas, const Box& box) {
  constexpr double kPitch_mm = 8.0;
  frame(canvas, box, kRule_mm);
  canvas.text({box.x_mm + kPad_mm, box.y_mm + 0.5}, "Seen at the machine", {kBody_pt, true});
  for (double y_mm = box.y_mm + 4.0 + kPitch_mm; y_mm < box.bottom_mm() - 1.0; y_mm += kPitch_mm) {
    line(canvas, {box.x_mm + kPad_mm, y_mm}, {box.right_mm() - kPad_mm, y_mm}, kThin_mm);
  }
}

}  // namespace bight::papers

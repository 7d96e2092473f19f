#include "app/bench_text.h"

#include <fmt/format.h>

#include "app/columns.h"
#include "app/plan_text.h"
#include "planning/words.h"

namespace bight::app {

using base::LengthStyle;
using inspection::Change;
using inspection::Left;
using inspection::Line;
using planning::say;

namespace {

LengthStyle without_unit(LengthStyle style) {
  style.with_unit = false;
  return style;
}

// One digit more than a plan prints: deviations are small.
LengthStyle finer(LengthStyle style) {
  style.form = LengthStyle::Form::kDecimal;
  style.decimals = style.unit == base::LengthUnit::kInch ? 4 : 2;
  return without_unit(style);
}

std::string degrees(double angle_deg) {
  const std::string text = fmt::format("{:.2f}°", angle_deg);
  return text == "-0.00°" ? "0.00°" : text;
}

std::string value(double value, const std::string& unit, const LengthStyle& style) {
  return unit == "deg" ? degrees(value) : say(value, style);
}

std::string value(const std::optional<double>& number, const std::string& unit,
                  const LengthStyle& style) {
  return number ? value(*number, unit, style) : "";
}

std::string signed_value(double number, const std::string& unit, const LengthStyle& style) {
  const std::string text = value(number, unit, style);
  return number > 0.0 && text.find_first_of("123456789") != text.npos ? "+" + text : text;
}

std::string piece_heading(const part::Part& part, const exchange::MeasuredPiece& piece) {
  std::string text = part.name;
  if (part.hand != part::Hand::kSingle) text += " " + part::letters(part.hand);
  if (!piece.measured.name.empty()) text += ", " + piece.measured.name;
  for (const std::string& more : {piece.date, piece.who, piece.gauge}) {
    if (!more.empty()) text += ", " + more;
  }
  return text + "\n";
}

std::string errors_text(const inspection::ReadingError& error, const LengthStyle& style) {
  return fmt::format(
      "  readings  good to: angles ±{}, rotations ±{}, straights ±{} {}, places ±{} {}\n",
      degrees(error.angle.deg()), degrees(error.rotation.deg()), say(error.straight_mm, style),
      style.unit == base::LengthUnit::kInch ? "in" : "mm", say(error.point_mm, style),
      style.unit == base::LengthUnit::kInch ? "in" : "mm");
}

// A bender that counts rotations the other way is told them so.
double keyed(const Change& change, double number, bool flipped) {
  const bool rotation = change.entry.entry == inspection::Entry::kRotation;
  return flipped && rotation && number != 0.0 ? -number : number;
}

std::string changes_text(const planning::Plan& plan, const inspection::Correction& correction,
                         const LengthStyle& style) {
  const bool flipped = plan.bender && plan.bender->rotation_sign_flipped;
  Columns table;
  table.to_the_left({0, 7});
  table.add({"entry", "wanted", "measured", "±", "keyed in", "KEY IN", "change", ""});
  for (const Change& change : correction.changes) {
    const bool used = change.left == Left::kUsed;
    const auto shown = [&](double number) {
      return value(keyed(change, number, flipped), change.unit, style);
    };
    const double moved = keyed(change, change.new_value - change.old_value, flipped);
    table.add({change.what, value(change.wanted, change.unit, style),
               value(change.measured, change.unit, style),
               change.measured ? value(change.error, change.unit, style) : "",
               shown(change.old_value), shown(change.new_value),
               used ? signed_value(moved, change.unit, style) : "",
               std::string(inspection::words(change.left))});
  }
  return table.text();
}

std::string marks_text(const planning::BenchCorrection& correction, const LengthStyle& style) {
  Columns table;
  table.add({"mark of bend", "was", "NOW"});
  for (const planning::NextMark& mark : correction.marks) {
    table.add({fmt::format("{}", mark.bend), say(mark.old_mm, style), say(mark.new_mm, style)});
  }
  table.add({"cut length", say(correction.old_cut_mm, style), say(correction.new_cut_mm, style)});
  return table.text();
}

bool moved(const planning::BenchCorrection& correction) {
  for (const planning::NextMark& mark : correction.marks) {
    if (mark.old_mm != mark.new_mm) return true;
  }
  return correction.old_cut_mm != correction.new_cut_mm;
}

std::string lines_text(const std::vector<Line>& lines, const LengthStyle& style) {
  Columns table;
  table.to_the_left({0, 6});
  table.add({"what", "wanted", "measured", "off", "allowed", "±", ""});
  for (const Line& line : lines) {
    const bool distance = !line.wanted.has_value();
    table.add(
        {line.what, value(line.wanted, line.unit, style), value(line.measured, line.unit, style),
         distance ? value(line.off, line.unit, style) : signed_value(line.off, line.unit, style),
         value(line.limit, line.unit, style), value(line.error, line.unit, style),
         std::string(inspection::word(line.verdict))});
  }
  return table.text();
}

std::string laid_text(const inspection::Laid& laid, bool agreed, const LengthStyle& style) {
  std::string out = fmt::format("\n  laid over by {}{}: {}\n", inspection::words(laid.deviation.by),
                                agreed ? " (agreed)" : "", inspection::word(laid.verdict));
  Columns table;
  table.to_the_left({0});
  table.add({"point", "x", "y", "z", "along the leg", "distance"});
  for (const inspection::PointOff& point : laid.deviation.points) {
    table.add({point.name, signed_value(point.off_mm.x(), "mm", style),
               signed_value(point.off_mm.y(), "mm", style),
               signed_value(point.off_mm.z(), "mm", style),
               signed_value(point.along_mm, "mm", style), say(point.distance_mm, style)});
  }
  out += table.text();
  return out + lines_text(laid.lines, style);
}

// Beside the agreed way those that judge the piece differently; without a disagreement the best
// fit alone, which says how good the shape is.
bool shown(const inspection::Inspection& inspection, std::size_t index) {
  if (index == 0) return true;
  const inspection::Laid& other = inspection.laid[index];
  return other.verdict != inspection.laid.front().verdict ||
         other.deviation.by == inspection::AlignBy::kBestFit;
}

std::string sections_text(const inspection::Inspection& inspection) {
  std::string out;
  for (const inspection::SectionJudgement& section : inspection.sections) {
    out += fmt::format("\n  section of bend {}:", section.bend);
    if (section.roundness) {
      out +=
          fmt::format(" least of largest {:.3f}, out of round {:.1f} % of nominal",
                      section.roundness->round_ratio, 100.0 * section.roundness->of_nominal_ratio);
    }
    if (section.wall_loss_ratio) {
      out += fmt::format("{} wall lost {:.1f} %", section.roundness ? ";" : "",
                         100.0 * *section.wall_loss_ratio);
    }
    out += "\n";
    for (const rules::RuleCheck& check : section.checks) {
      out += fmt::format("    {}: {}\n      {} {}, {}; {}\n", rules::word(check.verdict),
                         check.message, check.code, check.edition, check.clause, check.notice);
    }
  }
  return out;
}

}  // namespace

std::string correction_text(const planning::Plan& plan, const planning::BenchCorrection& correction,
                            const exchange::MeasuredPiece& piece, const LengthStyle& style,
                            bool colour) {
  const LengthStyle fine = finer(style);
  const inspection::Correction& found = correction.correction;
  std::string out = piece_heading(plan.part, piece);
  out += errors_text(piece.measured.error, fine);
  out += fmt::format("  lengths   {}; bends count from end A{}\n\n",
                     style.unit == base::LengthUnit::kInch ? "inch" : "mm",
                     plan.bender ? ", rotations by " + plan.bender->name + "'s sign" : "");
  out += changes_text(plan, found, fine);
  if (moved(correction)) out += "\n" + marks_text(correction, without_unit(style));
  if (found.points_rms_mm && found.expected_rms_mm) {
    out += fmt::format(
        "\n  points    {} off the drawing as found (best fit, rms), {} expected with the new "
        "values\n",
        say(*found.points_rms_mm, style), say(*found.expected_rms_mm, style));
  }
  const std::vector<part::Finding>& findings = found.findings;
  if (!piece.findings.empty()) out += "\n" + findings_text(piece.findings, colour);
  if (!findings.empty()) out += "\n" + findings_text(findings, colour);
  return out;
}

std::string inspection_text(const part::Part& part, const inspection::Inspection& inspection,
                            const inspection::Agreement& agreement,
                            const exchange::MeasuredPiece& piece, const LengthStyle& style,
                            bool colour) {
  const LengthStyle fine = finer(style);
  std::string out = piece_heading(part, piece);
  out += fmt::format("  laid over by {}, as agreed{}\n", inspection::words(agreement.align),
                     agreement.guard_band ? "; a reading's error counts against the piece" : "");
  out += errors_text(piece.measured.error, fine);
  out += fmt::format("  lengths   {}\n", style.unit == base::LengthUnit::kInch ? "inch" : "mm");
  if (!inspection.readings.empty()) out += "\n" + lines_text(inspection.readings, fine);
  for (std::size_t i = 0; i < inspection.laid.size(); ++i) {
    if (!shown(inspection, i)) continue;
    const bool agreed = inspection.laid[i].deviation.by == agreement.align;
    out += laid_text(inspection.laid[i], agreed, fine);
  }
  out += sections_text(inspection);
  if (!piece.findings.empty()) out += "\n" + findings_text(piece.findings, colour);
  if (!inspection.findings.empty()) out += "\n" + findings_text(inspection.findings, colour);
  out += fmt::format("\n  the piece as measured: {}\n", inspection::word(inspection.verdict));
  out += "  Bight certifies nothing: contract, drawing and the standard's own text decide.\n";
  return out;
}

}  // namespace bight::app

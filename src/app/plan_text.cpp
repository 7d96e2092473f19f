#include "app/plan_text.h"

#include <fmt/format.h>

#include "app/columns.h"
#include "geometry/centreline.h"
#include "planning/clearance_words.h"
#include "planning/words.h"

namespace bight::app {

using base::LengthStyle;
using part::Severity;
using planning::Plan;
using planning::say;

namespace {

std::string colour_of(Severity severity, bool colour) {
  if (!colour) return "";
  switch (severity) {
    case Severity::kStop:
      return "\033[1;31m";
    case Severity::kCaution:
      return "\033[33m";
    case Severity::kNote:
      return "\033[36m";
  }
  return "";
}

}  // namespace

std::string findings_text(const std::vector<part::Finding>& findings, bool colour) {
  std::string out;
  for (const part::Finding& f : findings) {
    const std::string start = colour_of(f.severity, colour);
    out += fmt::format("  {}{}{}{}: {}\n", start, part::word(f.severity),
                       start.empty() ? "" : "\033[0m",
                       f.bend ? fmt::format(", bend {}", *f.bend) : "", f.message);
    if (!f.remedy.empty()) out += fmt::format("      try: {}\n", f.remedy);
    out += fmt::format("      {}\n", f.source.empty() ? f.code : f.code + "; " + f.source);
  }
  return out;
}

namespace {

// With the bend that lies flat before, where that does not go without saying.
std::string rotation_text(const planning::Step& step) {
  if (!step.wheel_reset || !step.rotation_from) return say(step.rotation);
  return fmt::format("{} from bend {}", say(step.rotation), *step.rotation_from);
}

std::string clear_cell(const planning::Step& step, const LengthStyle& style) {
  if (!step.clearing) return "";
  if (step.clearing->clearance.hit()) return "HITS";
  if (!step.clearing->limits.empty()) return "STOP";
  return planning::say_at_least(step.clearing->low_mm, style);
}

std::string order_text(const Plan& plan) {
  return fmt::format("  order     {}: {}\n", plan.order.name, plan.order.words);
}

// Other orders, to be asked for by their short form.
std::string alternatives_text(const Plan& plan) {
  Columns table;
  table.to_the_left({0, 1});
  for (const planning::WorkOrder& other : plan.alternatives) {
    table.add({"--order " + planning::text(other.bends), other.name + ": " + other.words});
  }
  return "\n  other orders\n" + table.text();
}

std::string steps_text(const Plan& plan, const LengthStyle& unitful) {
  LengthStyle style = unitful;
  style.with_unit = false;
  Columns table;
  const bool flips = plan.order.num_flips > 0;
  std::vector<std::string> heads = {"step",      "bend",         "die",   "mark from A",
                                    "bend lies", "rotate",       "wheel", "angle",
                                    "set to",    "(from .. to)", "arc",   "radius after"};
  if (flips) heads.push_back("ahead");
  if (plan.order.compared) heads.push_back("clear");
  table.add(heads);
  for (std::size_t k = 0; k < plan.steps.size(); ++k) {
    const planning::Step& s = plan.steps[k];
    std::vector<std::string> cells = {
        fmt::format("{}", k + 1),
        fmt::format("{}", s.bend),
        s.die,
        say(s.die_mark_mm.value_or(s.mark_mm), style),
        s.side == planning::MarkSide::kTowardsB ? "to B" : "to A",
        rotation_text(s),
        say(s.wheel),
        say(s.angle),
        say(s.set_angle.likely),
        fmt::format("{} .. {}", say(s.set_angle.low), say(s.set_angle.high)),
        say(s.arc_mm, style),
        say(s.radius_after_release_mm, style)};
    if (flips) {
      cells.push_back(std::string(planning::letter_of(s.front)) +
                      (s.flipped ? ", turned end for end" : ""));
    }
    if (plan.order.compared) cells.push_back(clear_cell(s, style));
    table.add(cells);
  }
  return table.text();
}

std::string metal_text(const planning::MetalForecast& m, const LengthStyle& length_style) {
  // Walls need a digit more than lengths.
  LengthStyle style = length_style;
  style.form = LengthStyle::Form::kDecimal;
  style.decimals = style.unit == base::LengthUnit::kInch ? 4 : 2;
  const auto percent = [](double ratio) { return fmt::format("{:.1f} %", 100.0 * ratio); };
  std::string out = fmt::format(
      "  metal     {}: {:.1f} D of bend, wall factor {:.1f}; outside stretches {}, wall there {} "
      ".. {}",
      m.die, m.d_of_bend_ratio, m.wall_factor_ratio, percent(m.outer_strain_ratio),
      say(m.wall_outer.low_mm, style), say(m.wall_outer.high_mm, style));
  if (m.ovality) {
    out += fmt::format(", out of round {} .. {}", percent(m.ovality->low_ratio),
                       percent(m.ovality->high_ratio));
  }
  out += fmt::format("\n            torque about {:.0f} N·m", m.torque.likely_nmm * 1e-3);
  if (m.speed) {
    out += fmt::format("; up to {:.1f} rpm ({})", m.speed->advised_rpm, m.speed->limited_by);
  }
  if (m.nose_advance_mm) {
    out += fmt::format("; mandrel nose {} ahead of tangent", say(*m.nose_advance_mm, length_style));
  }
  return out + "\n";
}

std::string heading(const part::Part& part) {
  std::string text = part.name;
  if (part.hand != part::Hand::kSingle) text += " " + part::letters(part.hand);
  if (!part.revision.empty()) text += ", revision " + part.revision;
  return text;
}

}  // namespace

std::string line_text(const geometry::BendTable& table, const geometry::Frame& start,
                      const LengthStyle& unitful) {
  LengthStyle style = unitful;
  style.with_unit = false;
  std::string out = fmt::format(
      "  lengths   {}; angle = change of direction, 0° is straight; rotation about "
      "the way from end A, right-hand\n",
      style.unit == base::LengthUnit::kInch ? "inch" : "mm");
  Columns rows;
  rows.add({"bend", "straight before", "rotation", "angle", "radius"});
  for (std::size_t i = 0; i < table.num_bends(); ++i) {
    const geometry::BendRow& row = table.rows()[i];
    rows.add({fmt::format("{}", i + 1), say(row.straight_mm, style), say(row.rotation),
              say(row.angle), say(row.radius_mm, style)});
  }
  rows.add({"last", say(table.last_straight_mm(), style)});
  out += rows.text();
  Columns corners;
  corners.add({"corner", "x", "y", "z"});
  const std::vector<geometry::Vec3> points = geometry::corner_points_mm(table, start);
  for (std::size_t i = 0; i < points.size(); ++i) {
    const std::string name = i == 0                   ? "end A"
                             : i + 1 == points.size() ? "end B"
                                                      : fmt::format("{}", i);
    corners.add(
        {name, say(points[i].x(), style), say(points[i].y(), style), say(points[i].z(), style)});
  }
  out += corners.text();
  return out + fmt::format("  developed length {}, total bend {}\n",
                           say(table.developed_length_mm(), unitful), say(table.total_bend()));
}

std::string part_text(const part::Part& part, const LengthStyle& style) {
  return heading(part) + "\n" +
         fmt::format("  tube      {}, {}\n", part.tube_text, part.material.name) +
         line_text(part.table, part.start, style);
}

std::string plan_text(const Plan& plan, const LengthStyle& style, bool colour) {
  std::string out = heading(plan.part) + "\n";
  out += fmt::format("  tube      {}, {}{}\n", plan.part.tube_text, plan.part.material.name,
                     plan.part.material.heat.empty() ? "" : ", heat " + plan.part.material.heat);
  if (plan.bender) {
    out += fmt::format("  bender    {}, working from end {}{}\n", plan.bender->name,
                       planning::letter_of(plan.from), plan.order.num_flips > 0 ? " at first" : "");
  }
  for (const planning::UsedDie& used : plan.dies) {
    out += fmt::format("  die       {}: radius {}, {} after release\n", used.die.name,
                       say(used.die.radius_mm, style), say(used.radius_after_release_mm, style));
    out += fmt::format("            springback {:.2f}° + {:.4f} x set angle; {}\n",
                       used.law.constant.deg(), used.law.proportional_ratio, used.law.basis);
  }
  for (const planning::MetalForecast& m : plan.metal) out += metal_text(m, style);
  if (!plan.steps.empty() || plan.part.table.num_bends() == 0) {
    const planning::Blank& b = plan.blank;
    out += fmt::format("  cut       {} ({} .. {}), {}\n", say(b.cut.likely_mm, style),
                       say(b.cut.low_mm, style), say(b.cut.high_mm, style),
                       b.proven ? "proven" : "NOT PROVEN");
    out += fmt::format("            of which grip {} in front and {} behind, trim {} and {}\n",
                       say(b.grip_front_mm, style), say(b.grip_back_mm, style),
                       say(b.trim_front_mm, style), say(b.trim_back_mm, style));
    out += fmt::format("  mass      {:.2f} kg\n", plan.mass_kg);
  }
  if (plan.seam) {
    out += fmt::format(
        "  seam      at {} seen from end A with the outside of bend {} at 12; {} off "
        "neutral at worst\n",
        plan.seam->text, plan.seam->bend, say(plan.seam->off_neutral));
  }
  if (!plan.steps.empty()) out += order_text(plan) + "\n" + steps_text(plan, style);
  if (!plan.alternatives.empty()) out += alternatives_text(plan);
  if (!plan.findings.empty()) out += "\n" + findings_text(plan.findings, colour);
  return out;
}

}  // namespace bight::app

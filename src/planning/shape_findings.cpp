#include "planning/shape_findings.h"

#include <fmt/format.h>

#include <cmath>

#include "geometry/corners.h"
#include "geometry/feasible.h"
#include "planning/blank.h"
#include "planning/straights.h"
#include "planning/words.h"

namespace bight::planning {

using base::Angle;
using base::LengthStyle;
using geometry::BendTable;
using part::Finding;
using part::Severity;

namespace {

// "a radius of at most 33.3 mm at every bend would fit", or empty. Below 1 D nobody bends it
// (common practice, no source).
std::string fitting_radius(const BendTable& table, double size_mm, double least_straight_mm,
                           const LengthStyle& style) {
  const std::optional<geometry::RadiusProblem> problem =
      geometry::radius_problem(table, least_straight_mm);
  if (!problem) return "";
  const geometry::RadiusAnswer answer = geometry::largest_radii(*problem);
  if (!answer.possible) return "";
  std::string text;
  if (answer.largest_common_mm >= size_mm) {
    text = fmt::format("a radius of at most {} at every bend would fit",
                       say(answer.largest_common_mm, style));
  }
  std::vector<std::string> changed;
  for (std::size_t i = 0; i < answer.radii_mm.size(); ++i) {
    if (answer.radii_mm[i] < table.rows()[i].radius_mm - 0.05) {
      if (answer.radii_mm[i] < size_mm) return text;
      changed.push_back(fmt::format("bend {} at {}", i + 1, say(answer.radii_mm[i], style)));
    }
  }
  if (changed.size() == 1) {
    text += fmt::format("{}only {}{}", text.empty() ? "" : ", or ", changed.front(),
                        text.empty() ? " would fit" : "");
  }
  return text;
}

std::string straight_name(std::size_t index, std::size_t num_bends) {
  if (num_bends == 0) return "the straight";
  if (index == 0) return "the straight from end A";
  if (index == num_bends) return "the straight to end B";
  return fmt::format("straight {} (between bends {} and {})", index + 1, index, index + 1);
}

void add_overlaps(const part::Part& part, const LengthStyle& style,
                  std::vector<Finding>& findings) {
  for (const geometry::Overlap& overlap : geometry::overlaps(part.table)) {
    const std::size_t bend = std::min(overlap.straight_index + 1, part.table.num_bends());
    std::string remedy = fmt::format("lengthen that leg by {}", say(overlap.missing_mm, style));
    const std::string radius = fitting_radius(part.table, part.section.height_mm(), 0.0, style);
    if (!radius.empty()) remedy += ", or " + radius;
    findings.push_back({Severity::kStop,
                        "part.overlap",
                        bend,
                        fmt::format("{} is short by {}: its arcs need more than the leg has",
                                    straight_name(overlap.straight_index, part.table.num_bends()),
                                    say(overlap.missing_mm, style)),
                        remedy,
                        "plane geometry: tangent length R tan(angle/2)",
                        {{"missing_mm", overlap.missing_mm}}});
  }
}

// Radii and sizes that look like a slip of unit.
void add_unit_slips(const part::Part& part, const LengthStyle& style,
                    std::vector<Finding>& findings) {
  const double size_mm = part.section.height_mm();
  for (std::size_t i = 0; i < part.table.num_bends(); ++i) {
    const double radius_mm = part.table.rows()[i].radius_mm;
    const double of_size_ratio = radius_mm / size_mm;
    const auto usual = [](double ratio) { return ratio >= 1.0 && ratio <= 8.0; };
    const bool inches = usual(of_size_ratio * 25.4);
    const std::string ask = inches ? fmt::format("is the radius in inches? {:.4g}\" would be {}",
                                                 radius_mm, say(radius_mm * 25.4, style))
                                   : std::string("check the radius and where it is measured");
    if (of_size_ratio <= 0.5) {
      findings.push_back({Severity::kStop,
                          "part.radius-below-half",
                          i + 1,
                          fmt::format("a radius of {} is no more than half the tube of {}: the "
                                      "inside would fold",
                                      say(radius_mm, style), say(size_mm, style)),
                          ask,
                          "plane geometry",
                          {{"radius_mm", radius_mm}, {"size_mm", size_mm}}});
    } else if (of_size_ratio < 1.0) {
      findings.push_back({Severity::kCaution,
                          "part.unit-slip",
                          i + 1,
                          fmt::format("a radius of {} is smaller than the tube of {}",
                                      say(radius_mm, style), say(size_mm, style)),
                          ask,
                          "common practice, no source",
                          {{"radius_mm", radius_mm}, {"size_mm", size_mm}}});
    } else if (of_size_ratio > 25.4 && usual(of_size_ratio / 25.4)) {
      findings.push_back({Severity::kCaution,
                          "part.unit-slip",
                          i + 1,
                          fmt::format("a radius of {} on a tube of {} is {:.0f} times its size",
                                      say(radius_mm, style), say(size_mm, style), of_size_ratio),
                          fmt::format("is the tube in inches? {:.4g}\" would be {}", size_mm,
                                      say(size_mm * 25.4, style)),
                          "common practice, no source",
                          {{"radius_mm", radius_mm}, {"size_mm", size_mm}}});
    }
  }
  const double eighths = size_mm * 8.0;
  if (size_mm <= 4.0 && std::abs(eighths - std::round(eighths)) < 1e-6) {
    findings.push_back({Severity::kCaution,
                        "part.unit-slip",
                        std::nullopt,
                        fmt::format("a tube of {} is unusual; {:.4g}\" is a common size",
                                    say(size_mm, style), size_mm),
                        fmt::format("write {:.4g}\" if inches are meant", size_mm),
                        "common practice, no source",
                        {{"size_mm", size_mm}}});
  }
}

void add_shallow_planes(const part::Part& part, std::vector<Finding>& findings) {
  constexpr double kPointError_mm = 0.1;
  constexpr Angle kShown = Angle::degrees(1.0);
  for (std::size_t i = 0; i < part.table.num_bends(); ++i) {
    const geometry::BendRow& row = part.table.rows()[i];
    const double leg_mm =
        std::max(1.0, std::min(part.table.straight_mm(i), part.table.straight_mm(i + 1)) +
                          std::min(row.setback_mm(), 1e4));
    const Angle error = geometry::plane_uncertainty(row.angle, leg_mm, kPointError_mm);
    if (error < kShown || row.angle > Angle::degrees(20)) continue;
    findings.push_back(
        {Severity::kNote,
         "part.shallow-plane",
         i + 1,
         fmt::format("bend {} turns only {}: its plane is known to about ±{} if the drawing is "
                     "good to {:.1f} mm",
                     i + 1, say(row.angle), say(error), kPointError_mm),
         "judge it by where the far end comes, not by its rotation",
         "derived: sigma sqrt(6) / (leg sin angle)",
         {{"plane_error_deg", error.deg()}}});
  }
}

// A rectangular tube lies square in a die only in planes a quarter turn apart.
void add_skew_planes(const part::Part& part, std::vector<Finding>& findings) {
  for (std::size_t i = 0; i < part.table.num_bends(); ++i) {
    const Angle skew = part::skew_at(part, i);
    if (skew < Angle::degrees(0.5)) continue;
    findings.push_back({Severity::kStop,
                        "part.skew-plane",
                        i + 1,
                        fmt::format("the tube would lie {} askew in the die: rectangular tube "
                                    "bends only flat on a side",
                                    say(skew)),
                        "turn the plane to the nearest quarter, or use round tube",
                        "plane geometry",
                        {{"skew_deg", skew.deg()}}});
  }
}

void add_no_bends(const part::Part& part, std::vector<Finding>& findings) {
  if (part.table.num_bends() > 0) return;
  findings.push_back({Severity::kCaution,
                      "part.straight",
                      std::nullopt,
                      "the part has no bends: it is a straight piece",
                      "give at least three corners, or a bend table, if it should bend",
                      "the part file",
                      {}});
}

void add_meeting_arcs(const part::Part& part, std::vector<Finding>& findings) {
  for (std::size_t i = 1; i < part.table.num_bends(); ++i) {
    const geometry::BendRow& row = part.table.rows()[i];
    const geometry::BendRow& before = part.table.rows()[i - 1];
    const bool meet = std::abs(row.straight_mm) <= 1e-6 && std::abs(row.rotation.deg()) <= 1e-6 &&
                      std::abs(row.radius_mm - before.radius_mm) <= 1e-9 * row.radius_mm;
    if (!meet) continue;
    findings.push_back(
        {Severity::kCaution,
         "part.arcs-meet",
         i + 1,
         fmt::format("bends {} and {} meet without a straight, in one plane and of "
                     "one radius: they are one bend of {}",
                     i, i + 1, say(before.angle + row.angle)),
         fmt::format("give them as one bend of {} in a bend table", say(before.angle + row.angle)),
         "plane geometry",
         {{"angle_deg", (before.angle + row.angle).deg()}}});
  }
}

// Straights by their numbers, counted from end A.
std::string run_name(const Run& run) {
  return run.first == run.last
             ? fmt::format("straight {}", run.first + 1)
             : fmt::format("the tube from straight {} to straight {}", run.first + 1, run.last + 1);
}

Finding too_short(const Plan& plan, const Run& run, std::size_t bend, const workshop::DieSet& die,
                  double needed_mm, bool clamp, const LengthStyle& style) {
  const double missing_mm = needed_mm - run.length_mm;
  std::string remedy = fmt::format("lengthen straight {} by {}", (clamp ? run.first : run.last) + 1,
                                   say(missing_mm, style));
  const std::string radius =
      run.first == run.last
          ? fitting_radius(plan.bent_table, plan.part.section.height_mm(), needed_mm, style)
          : std::string();
  if (!radius.empty()) remedy += "; " + radius;
  if (clamp) remedy += "; a contoured clamp";
  remedy += "; or make it as two pieces and join them";
  return {Severity::kStop,
          clamp ? "plan.straight-below-clamp" : "plan.straight-below-tail",
          bend,
          fmt::format("{} is {}, the {} of die {} needs {}: short by {}", run_name(run),
                      say(run.length_mm, style), clamp ? "clamp" : "pressure die", die.name,
                      say(needed_mm, style), say(missing_mm, style)),
          remedy,
          "the shop's data of die " + die.name,
          {{"straight_mm", run.length_mm},
           {clamp ? "clamp_mm" : "tail_mm", needed_mm},
           {"missing_mm", missing_mm}}};
}

}  // namespace

std::vector<Finding> drawing_findings(const part::Part& part, const LengthStyle& style) {
  std::vector<Finding> findings;
  add_overlaps(part, style, findings);
  add_unit_slips(part, style, findings);
  add_shallow_planes(part, findings);
  add_meeting_arcs(part, findings);
  add_skew_planes(part, findings);
  add_no_bends(part, findings);
  return findings;
}

std::vector<Finding> straight_findings(const Plan& plan, const LengthStyle& style) {
  std::vector<Finding> findings;
  if (plan.steps.empty()) return findings;
  std::vector<double> arc_mm(plan.steps.size());
  for (const Step& step : plan.steps) arc_mm[step.bend - 1] = step.arc_mm;
  const std::vector<Beside> beside = straights_beside(plan.bent_table, arc_mm, plan.order.bends);
  for (std::size_t k = 0; k < plan.steps.size(); ++k) {
    const Step& step = plan.steps[k];
    const workshop::DieSet* die = nullptr;
    for (const UsedDie& used : plan.dies) {
      if (used.die.name == step.die) die = &used.die;
    }
    if (die == nullptr) continue;
    const double tail_mm = tail_needed_mm(*die, *plan.bender, plan.part.section, step.arc_mm);
    const auto look = [&](const Run& run, double needed_mm, bool clamp) {
      // Up to the end the blank's grip makes good; an overlap is said already.
      if (run.to_end || run.length_mm >= needed_mm - 1e-6 || run.length_mm < -1e-6) return;
      findings.push_back(too_short(plan, run, step.bend, *die, needed_mm, clamp, style));
    };
    look(beside[k].ahead, die->clamp_mm, true);
    look(beside[k].behind, tail_mm, false);
  }
  return findings;
}

}  // namespace bight::planning

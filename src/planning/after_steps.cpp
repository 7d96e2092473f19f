#include "planning/after_steps.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/check.h"
#include "geometry/centreline.h"
#include "planning/checks.h"
#include "planning/words.h"

namespace bight::planning {

using base::Angle;

namespace {

// Wider, and the outside edges meet too far off to be measured to.
constexpr double kWidest_deg = 150.0;
constexpr double kNarrowest_deg = 20.0;

struct Ends {
  double a_mm = 0.0;  // of the blank beyond the part, grip and trim
  double b_mm = 0.0;
};

Ends ends_of(const Blank& blank) {
  const double front_mm = blank.grip_front_mm + blank.trim_front_mm;
  const double back_mm = blank.grip_back_mm + blank.trim_back_mm;
  return blank.front == End::kA ? Ends{front_mm, back_mm} : Ends{back_mm, front_mm};
}

geometry::BendTable table_with(const Plan& plan, const std::vector<bool>& made,
                               const std::vector<double>& arc_mm) {
  const geometry::BendTable& bent = plan.bent_table;
  const Ends ends = ends_of(plan.blank);
  std::vector<geometry::BendRow> rows;
  double run_mm = ends.a_mm;
  Angle turned;
  for (std::size_t i = 0; i < bent.num_bends(); ++i) {
    run_mm += bent.straight_mm(i);
    turned = turned + bent.rows()[i].rotation;
    if (!made[i]) {
      run_mm += arc_mm[i];
      continue;
    }
    geometry::BendRow row = bent.rows()[i];
    row.straight_mm = run_mm;
    row.rotation = rows.empty() ? Angle() : turned.wrapped();
    rows.push_back(row);
    run_mm = 0.0;
    turned = Angle();
  }
  run_mm += bent.straight_mm(bent.num_bends()) + ends.b_mm;
  base::Result<geometry::BendTable> table = geometry::BendTable::make(std::move(rows), run_mm);
  BIGHT_CHECK(table.ok());
  return std::move(table).value();
}

std::vector<CheckDimension> dimensions(const AfterStep& after, std::size_t bend, double size_mm,
                                       double depth_mm, const base::LengthStyle& style) {
  const geometry::BendTable& table = after.table;
  const auto at = static_cast<std::size_t>(std::find(after.bends.begin(), after.bends.end(), bend) -
                                           after.bends.begin());
  const geometry::BendRow& row = table.rows()[at];
  const std::size_t n = table.num_bends();
  std::vector<CheckDimension> out;
  const bool has_edges = row.angle <= Angle::degrees(kWidest_deg);
  const double outside_mm = has_edges ? over_outside_mm(row, depth_mm) : 0.0;
  // From an end that no other made bend hides, the nearer one.
  const bool to_a = at == 0 && (n > 1 || table.straight_mm(0) <= table.straight_mm(1));
  if (has_edges && (to_a || at + 1 == n)) {
    out.push_back({fmt::format("end {} to outside of bend {}", to_a ? "A" : "B", bend),
                   table.straight_mm(to_a ? 0 : n) + outside_mm});
  }
  if (has_edges && row.angle >= Angle::degrees(kNarrowest_deg)) {
    const double shorter_mm = std::min(table.straight_mm(at), table.straight_mm(at + 1));
    const double leg_mm = round_leg_mm(outside_mm + shorter_mm, style);
    if (leg_mm >= outside_mm && leg_mm > 0.0) {
      out.push_back(
          {fmt::format("across bend {}, {} along each outside edge", bend, say(leg_mm, style)),
           across_mm(row.angle, leg_mm)});
    }
  }
  const geometry::Centreline line = geometry::lay_out(table);
  out.push_back({"end A to end B, centres", (line.end_mm() - line.start_mm()).norm()});
  const Eigen::Vector3d box_mm = geometry::envelope_mm(line, size_mm).sizes();
  out.push_back({fmt::format("overall across, bend {} flat", after.bends.front()), box_mm.y()});
  out.resize(2);
  return out;
}

}  // namespace

std::vector<AfterStep> after_steps(const Plan& plan, const base::LengthStyle& style) {
  std::vector<AfterStep> out;
  const std::size_t n = plan.bent_table.num_bends();
  if (plan.steps.size() != n) return out;
  std::vector<double> arc_mm(n, 0.0);
  for (const Step& step : plan.steps) arc_mm[step.bend - 1] = step.arc_mm;
  const stock::Section& section = plan.part.section;
  const double size_mm = std::max(section.height_mm(), section.width_mm());
  std::vector<bool> made(n, false);
  for (const Step& step : plan.steps) {
    made[step.bend - 1] = true;
    AfterStep after{table_with(plan, made, arc_mm), {}, {}};
    for (std::size_t i = 0; i < n; ++i) {
      if (made[i]) after.bends.push_back(i + 1);
    }
    const double depth_mm = part::section_at(plan.part, step.bend - 1).height_mm();
    after.checks = dimensions(after, step.bend, size_mm, depth_mm, style);
    out.push_back(std::move(after));
  }
  return out;
}

}  // namespace bight::planning

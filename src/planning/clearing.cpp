#include "planning/clearing.h"

#include <algorithm>
#include <cmath>
#include <optional>

namespace bight::planning {

namespace {

std::size_t die_index(const Plan& plan, const std::string& name) {
  const auto found = std::find_if(plan.dies.begin(), plan.dies.end(),
                                  [&](const UsedDie& used) { return used.die.name == name; });
  return static_cast<std::size_t>(found - plan.dies.begin());
}

clearance::Tube tube_of(const Plan& plan) {
  clearance::Tube tube;
  tube.od_mm = round_od_mm(plan.part.section);
  tube.length_mm = plan.blank.cut.likely_mm;
  tube.bends.resize(plan.bent_table.num_bends());
  for (const Step& step : plan.steps) {
    clearance::TubeBend& bend = tube.bends[step.bend - 1];
    const geometry::BendRow& row = plan.bent_table.rows()[step.bend - 1];
    bend.blank_mm = step.arc_mm;
    bend.start_mm = step.side == MarkSide::kTowardsB ? step.mark_mm : step.mark_mm - step.arc_mm;
    bend.rotation = row.rotation;
    bend.angle = row.angle;
    bend.radius_mm = row.radius_mm;
    bend.set_angle = step.set_angle.likely;
    bend.die_radius_mm = plan.dies[die_index(plan, step.die)].die.radius_mm;
  }
  return tube;
}

}  // namespace

double round_od_mm(const stock::Section& section) {
  return section.round() ? section.height_mm()
                         : std::hypot(section.height_mm(), section.width_mm());
}

clearance::Setup Clearing::setup(std::size_t step) const {
  clearance::Setup setup{&bender, {}};
  for (const workshop::DieSet& die : mounted[die_of_step[step]]) setup.mounted.push_back(&die);
  return setup;
}

base::Result<Clearing> clearing(const Plan& plan) {
  const bool rolls =
      plan.bender.has_value() && plan.bender->kind == workshop::BenderKind::kThreeRoll;
  if (plan.steps.empty() || !plan.bender.has_value() || rolls) {
    return base::Failure{"clear.no-steps", plan.part.name,
                         rolls ? "a three-roll bender has no steps to compare"
                               : "the plan holds no steps to compare",
                         rolls ? "" : "see what bight plan says about its tooling"};
  }
  Clearing out;
  out.tube = tube_of(plan);
  out.bender = *plan.bender;
  BIGHT_TRY(const base::Done valid, out.tube.valid());
  static_cast<void>(valid);
  for (const UsedDie& used : plan.dies) {
    std::vector<workshop::DieSet>& stack = out.mounted.emplace_back();
    stack.push_back(used.die);
    // Where the stack's heights are not known every die is taken to be at the lowest.
    if (plan.bender->around.levels_mm.size() < 2) continue;
    for (const UsedDie& other : plan.dies) {
      const bool free = std::none_of(stack.begin(), stack.end(), [&](const workshop::DieSet& d) {
        return d.level == other.die.level;
      });
      if (free) stack.push_back(other.die);
    }
  }
  for (const Step& planned : plan.steps) {
    out.steps.push_back(planned.movement);
    out.die_of_step.push_back(die_index(plan, planned.die));
  }
  return out;
}

base::Result<std::vector<StepAnswer>> clear_steps(const Clearing& clearing,
                                                  const clearance::ClearanceOptions& options) {
  std::vector<std::optional<clearance::StepChecker>> checkers(clearing.mounted.size());
  std::vector<StepAnswer> answers;
  for (std::size_t k = 0; k < clearing.steps.size(); ++k) {
    const clearance::Setup setup = clearing.setup(k);
    std::optional<clearance::StepChecker>& checker = checkers[clearing.die_of_step[k]];
    if (!checker.has_value()) {
      BIGHT_TRY(checker, clearance::StepChecker::make(setup, clearing.tube, options));
    }
    answers.push_back({checker->check(clearing.steps[k]),
                       clearance::broken_limits(setup, clearing.tube, clearing.steps[k])});
  }
  return answers;
}

std::vector<std::string> not_checked(const std::vector<StepAnswer>& answers) {
  std::vector<std::string> out;
  for (const StepAnswer& answer : answers) {
    for (const std::string& said : answer.clearance.not_checked) {
      if (std::find(out.begin(), out.end(), said) == out.end()) out.push_back(said);
    }
  }
  return out;
}

}  // namespace bight::planning

#include "ordering/step_rules.h"

#include <fmt/format.h>

#include <bit>
#include <cmath>

namespace bight::ordering {

using base::Angle;

namespace {

// Straights are compared with this much rounding forgiven.
constexpr double kRounding_mm = 1e-6;

}  // namespace

base::Status Problem::valid() const {
  if (bender.kind == workshop::BenderKind::kThreeRoll) {
    return base::Failure{"ordering.rolled", bender.name,
                         "a three-roll bender rolls in passes, it has no order of bends", ""};
  }
  if (tube.bends.size() > kMostBends) {
    return base::Failure{
        "ordering.problem", "",
        fmt::format("{} bends; an order is looked for up to {}", tube.bends.size(), kMostBends),
        "give the order yourself, or split the part"};
  }
  if (tools.size() != tube.bends.size()) {
    return base::Failure{"ordering.problem", "", "not every bend has a die", ""};
  }
  for (std::size_t i = 0; i < tools.size(); ++i) {
    bool known = !tools[i].empty();
    for (const BendTool& tool : tools[i]) known = known && tool.die < dies.size();
    if (!known) {
      return base::Failure{"ordering.problem", fmt::format("bend {}", i + 1),
                           "the bend has no die, or one that is not there", ""};
    }
  }
  return tube.valid();
}

StepRules::StepRules(const Problem& problem, const Agreed& agreed)
    : problem_(problem), agreed_(agreed), num_bends_(problem.tube.bends.size()) {
  const std::vector<clearance::TubeBend>& bends = problem.tube.bends;
  Angle plane;
  std::vector<double> off_middle_mm;
  for (std::size_t i = 0; i < num_bends_; ++i) {
    if (i > 0) plane = plane + bends[i].rotation;
    planes_.push_back(plane);
    off_middle_mm.push_back(
        std::abs(bends[i].start_mm + 0.5 * bends[i].blank_mm - 0.5 * problem.tube.length_mm));
  }
  nearer_middle_.resize(num_bends_, 0);
  handling_.resize(num_bends_ * num_bends_, 0);
  for (std::size_t i = 0; i < num_bends_; ++i) {
    for (std::size_t j = 0; j < num_bends_; ++j) {
      if (off_middle_mm[j] < off_middle_mm[i] - kRounding_mm) {
        nearer_middle_[i] |= MadeBends{1} << j;
      }
      handling_[i * num_bends_ + j] = handling(i, j, turned(i, j, Front::kEndA));
    }
  }
}

Straight StepRules::towards_a(std::size_t bend, MadeBends made) const {
  const std::vector<clearance::TubeBend>& bends = problem_.tube.bends;
  const MadeBends there = made & bends_below(bend);
  if (there == 0) return {bends[bend].start_mm, true};
  const auto next = static_cast<std::size_t>(63 - std::countl_zero(there));
  return {bends[bend].start_mm - bends[next].start_mm - bends[next].blank_mm, false};
}

Straight StepRules::towards_b(std::size_t bend, MadeBends made) const {
  const std::vector<clearance::TubeBend>& bends = problem_.tube.bends;
  const double from_mm = bends[bend].start_mm + bends[bend].blank_mm;
  const MadeBends there = made & ~bends_below(bend) & ~(MadeBends{1} << bend);
  if (there == 0) return {problem_.tube.length_mm - from_mm, true};
  return {bends[static_cast<std::size_t>(std::countr_zero(there))].start_mm - from_mm, false};
}

Straight StepRules::ahead(std::size_t bend, MadeBends made, Front front) const {
  return front == Front::kEndA ? towards_a(bend, made) : towards_b(bend, made);
}

Straight StepRules::behind(std::size_t bend, MadeBends made, Front front) const {
  return front == Front::kEndA ? towards_b(bend, made) : towards_a(bend, made);
}

bool StepRules::straights_fit(std::size_t bend, MadeBends made, Front front,
                              const BendTool& tool) const {
  return ahead(bend, made, front).length_mm >= tool.clamp_mm - kRounding_mm &&
         behind(bend, made, front).length_mm >= tool.tail_mm - kRounding_mm;
}

bool StepRules::measurable(std::size_t bend, MadeBends made) const {
  return towards_a(bend, made).length_mm >= agreed_.tape_leg_mm &&
         towards_b(bend, made).length_mm >= agreed_.tape_leg_mm;
}

std::uint32_t StepRules::outward(std::size_t bend, MadeBends made) const {
  return static_cast<std::uint32_t>(std::popcount(nearer_middle_[bend] & ~made));
}

Angle StepRules::turned(std::size_t from, std::size_t to, Front front) const {
  // Planes are counted about the way from end A. With end A ahead the feed runs the other way, and
  // the tube turns back by what the plane lies forward: twice the other way, the same sign. [o1]
  const Angle between = planes_[to] - planes_[from];
  return (front == Front::kEndA ? between : -between).wrapped();
}

std::uint32_t StepRules::handling(std::size_t from, std::size_t to, Angle turned) const {
  const std::vector<clearance::TubeBend>& bends = problem_.tube.bends;
  const double carried_mm = std::abs(bends[to].start_mm + 0.5 * bends[to].blank_mm -
                                     bends[from].start_mm - 0.5 * bends[from].blank_mm);
  return static_cast<std::uint32_t>(
             std::ceil(std::abs(turned.deg()) / agreed_.turn_step_deg - 1e-9)) +
         static_cast<std::uint32_t>(carried_mm / agreed_.carry_step_mm);
}

Cost cost_without_bodies(const Problem& problem, const StepRules& rules, const Sequence& sequence) {
  Cost cost;
  MadeBends made = 0;
  const bool fed = problem.bender.kind == workshop::BenderKind::kCarriageFed;
  for (std::size_t k = 0; k < sequence.size(); ++k) {
    const Placed& now = sequence[k];
    const BendTool& tool = problem.tools[now.bend][now.tool];
    if (!rules.straights_fit(now.bend, made, now.front, tool)) ++cost.stops;
    if (!rules.measurable(now.bend, made)) ++cost.unmeasured;
    if (!fed) cost.outward += rules.outward(now.bend, made);
    if (k == 0) {
      cost.other_end = now.front == problem.first ? 0 : 1;
    } else {
      const Placed& before = sequence[k - 1];
      if (before.front != now.front) ++cost.flips;
      if (problem.tools[before.bend][before.tool].die != tool.die) ++cost.die_changes;
      cost.handling += fed ? rules.handling(before.bend, now.bend, now.turn)
                           : rules.handling(before.bend, now.bend);
    }
    made |= MadeBends{1} << now.bend;
  }
  return cost;
}

}  // namespace bight::ordering

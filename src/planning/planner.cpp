#include "planning/planner.h"

#include <fmt/format.h>

#include <algorithm>

#include "planning/bent_shape.h"
#include "planning/checks.h"
#include "planning/choose_order.h"
#include "planning/metal_findings.h"
#include "planning/order_findings.h"
#include "planning/rule_findings.h"
#include "planning/seam.h"
#include "planning/shape_findings.h"
#include "planning/straights.h"
#include "planning/words.h"
#include "planning/would_work.h"

namespace bight::planning {

using base::Angle;
using part::Finding;
using part::Severity;

namespace {

// Radius after release of each bend: the chosen die's, or the drawn one where none was found.
std::vector<double> real_radii(const part::Part& part, const ToolingChoice& choice) {
  std::vector<double> radii_mm;
  for (std::size_t i = 0; i < part.table.num_bends(); ++i) {
    radii_mm.push_back(choice.dies.empty()
                           ? part.table.rows()[i].radius_mm
                           : choice.dies[choice.die_of_bend[i]].radius_after_release_mm);
  }
  return radii_mm;
}

// Reading of the machine's wheel for a plane at this rotation from the first bend made.
Angle wheel_reading(Angle plane, const workshop::Bender& bender) {
  const Angle shown = bender.wheel_counts_backwards ? -plane : plane;
  return (shown + bender.wheel_zero).wrapped_positive();
}

// The bend that tells how the tube lies when this one is made: the one made before if it is a
// neighbour, else the nearest made one, the one behind first. Nothing when none is made.
std::optional<std::size_t> reference_of(const BendOrder& order, std::size_t step) {
  const std::size_t bend = order[step].bend;
  std::optional<std::size_t> below, above;
  for (std::size_t k = 0; k < step; ++k) {
    const std::size_t made = order[k].bend;
    if (made < bend && (!below || made > *below)) below = made;
    if (made > bend && (!above || made < *above)) above = made;
  }
  if (step > 0 && (below == order[step - 1].bend || above == order[step - 1].bend)) {
    return order[step - 1].bend;
  }
  const bool a_ahead = order[step].front == End::kA;
  const std::optional<std::size_t>& behind = a_ahead ? above : below;
  return behind.has_value() ? behind : (a_ahead ? below : above);
}

// How far the tube is turned from lying flat on one bend to another's plane. A rotation turns about
// the way from the end ahead to the other; seen so the rotations of a table read from end B keep
// their signs.
Angle turn_between(const geometry::BendTable& bent, std::size_t from, const PlacedBend& to) {
  Angle sum;
  for (std::size_t i = std::min(from, to.bend) + 1; i <= std::max(from, to.bend); ++i) {
    sum = sum + bent.rows()[i].rotation;
  }
  return (from < to.bend) == (to.front == End::kA) ? sum : -sum;
}

std::vector<Step> steps(const Plan& plan, const ToolingChoice& choice, const TriedOrder& taken) {
  const LaidOut& laid_out = taken.laid_out;
  const BendOrder order = taken.bends();
  const std::vector<Beside> beside = straights_beside(plan.bent_table, laid_out.arc_mm, order);
  const bool fed = plan.bender->kind == workshop::BenderKind::kCarriageFed;
  std::vector<Step> out;
  Angle on_wheel;  // by our sign, from its zero
  clearance::MadeBends made = 0;
  for (std::size_t k = 0; k < order.size(); ++k) {
    const std::size_t bend = order[k].bend;
    const bool from_a = order[k].front == End::kA;
    const geometry::BendRow& row = plan.bent_table.rows()[bend];
    const UsedDie& used = choice.dies[choice.die_of_bend[bend]];
    const KnownSpringback& known = choice.known[choice.die_of_bend[bend]];
    Step step;
    step.bend = bend + 1;
    step.die = used.die.name;
    step.front = order[k].front;
    step.flipped = k > 0 && order[k - 1].front != step.front;
    step.mark_mm = from_a ? laid_out.start_mm[bend] : laid_out.finish_mm[bend];
    step.mark_from_b_mm = laid_out.blank.cut.likely_mm - step.mark_mm;
    step.side = from_a ? MarkSide::kTowardsB : MarkSide::kTowardsA;
    if (known.mark_offset_mm().has_value()) {
      step.die_mark_mm = step.mark_mm - (from_a ? 1.0 : -1.0) * *known.mark_offset_mm();
    }
    step.straight_mm = beside[k].ahead.length_mm;
    step.tail_mm = beside[k].behind.length_mm;
    if (const auto reference = reference_of(order, k)) {
      step.rotation_from = *reference + 1;
      step.wheel_reset = step.flipped || *reference != order[k - 1].bend;
      const Angle turn = fed ? taken.sequence[k].turn
                             : turn_between(plan.bent_table, *reference, order[k]).wrapped();
      on_wheel = step.wheel_reset ? turn : on_wheel + turn;
      step.rotation = plan.bender->rotation_sign_flipped ? -turn : turn;
    }
    step.wheel = wheel_reading(on_wheel, *plan.bender);
    step.angle = row.angle;
    step.set_angle = known.set_band(row.angle);
    step.arc_mm = laid_out.arc_mm[bend];
    step.radius_after_release_mm = row.radius_mm;
    const ordering::Placed& placed = taken.sequence[k];
    step.movement = {bend, made, placed.front, 0, placed.turn, placed.advance_mm};
    made |= clearance::MadeBends{1} << bend;
    if (taken.judged.has_value()) step.clearing = step_clearing(taken.judged->steps[k]);
    out.push_back(std::move(step));
  }
  return out;
}

// Findings of the springback records, each die's only once.
void add_knowledge(Plan& plan, const ToolingChoice& choice) {
  for (std::size_t i = 0; i < choice.known.size(); ++i) {
    for (Finding finding : choice.known[i].findings()) {
      finding.message = fmt::format("die {}: {}", choice.dies[i].die.name, finding.message);
      plan.findings.push_back(std::move(finding));
    }
  }
}

void add_blank_findings(Plan& plan, const base::LengthStyle& style) {
  const Blank& blank = plan.blank;
  if (!blank.proven) {
    plan.findings.push_back(
        {Severity::kCaution,
         "blank.unproven",
         std::nullopt,
         fmt::format("the cut length is not proven: it lies between {} and {}",
                     say(blank.cut.low_mm, style), say(blank.cut.high_mm, style)),
         "cut one long, bend one 90°, measure blank and both legs, enter them",
         "derived: rigid-plastic thin tube with shifting neutral layer, and no stretch",
         {{"low_mm", blank.cut.low_mm}, {"high_mm", blank.cut.high_mm}}});
  }
  const auto grip = [&](double grip_mm, End end, bool for_clamp) {
    if (grip_mm <= 0.0) return;
    plan.findings.push_back(
        {Severity::kNote,
         "blank.grip",
         std::nullopt,
         fmt::format("{} is added at end {} for {} and is cut off afterwards", say(grip_mm, style),
                     letter_of(end), for_clamp ? "the clamp" : "the pressure die or collet"),
         "",
         "the shop's data of the die set",
         {{"grip_mm", grip_mm}}});
  };
  grip(blank.grip_front_mm, blank.front, blank.front_for_clamp);
  grip(blank.grip_back_mm, other_end(blank.front), blank.back_for_clamp);
}

void add_die_changes(Plan& plan) {
  for (std::size_t k = 1; k < plan.steps.size(); ++k) {
    const auto level = [&](const std::string& name) {
      for (const UsedDie& used : plan.dies) {
        if (used.die.name == name) return used.die.level;
      }
      return 1;
    };
    const int before = level(plan.steps[k - 1].die);
    const int now = level(plan.steps[k].die);
    if (plan.steps[k - 1].die == plan.steps[k].die) continue;
    plan.findings.push_back(
        {Severity::kCaution,
         "plan.die-change",
         plan.steps[k].bend,
         before == now ? fmt::format("change from die {} to die {} before this bend",
                                     plan.steps[k - 1].die, plan.steps[k].die)
                       : fmt::format("change from die {} on level {} to die {} on level {}: the "
                                     "tube moves by the stack's height",
                                     plan.steps[k - 1].die, before, plan.steps[k].die, now),
         "renew the support setting and the zero after the change",
         "common practice, no source",
         {}});
  }
}

void add(std::vector<Finding>& to, std::vector<Finding> findings) {
  for (Finding& finding : findings) to.push_back(std::move(finding));
}

// Order, blank and steps, and what they bring up.
base::Status work_out(Plan& plan, const ToolingChoice& choice, const PlanOptions& options) {
  OrderQuestion question{plan.part,     plan.bent_table, choice,
                         options.order, options.from,    options.alternatives};
  question.options.agreed = options.agreed;
  question.options.effort = options.effort;
  BIGHT_TRY(const ChosenOrder chosen, choose_order(question));
  plan.blank = chosen.taken.laid_out.blank;
  plan.from = plan.blank.front;
  plan.order = summed_up(question, chosen.taken, options.style);
  for (const TriedOrder& other : chosen.others) {
    plan.alternatives.push_back(summed_up(question, other, options.style));
  }
  mark_best(chosen, options.order, plan);
  plan.steps = steps(plan, choice, chosen.taken);
  plan.mass_kg = plan.part.section.mass_kg_per_m(plan.part.material.density_kg_per_m3) *
                 plan.blank.cut.likely_mm * 1e-3;
  add_knowledge(plan, choice);
  add_blank_findings(plan, options.style);
  std::vector<Finding> straights = straight_findings(plan, options.style);
  offer_other_order(plan, straights);
  add(plan.findings, std::move(straights));
  add_die_changes(plan);
  add(plan.findings, order_findings(plan, chosen, question, options.style));
  add_metal_findings(plan);
  return base::Done{};
}

}  // namespace

base::Result<Plan> plan(const part::Part& part, const workshop::Shop& shop,
                        const PlanOptions& options) {
  BIGHT_TRY(ToolingChoice choice, choose_tooling(part, shop, options.wish, options.style));
  const bool tooled = choice.bender.has_value() && !choice.dies.empty();
  Plan plan{.part = part,
            .bent_table = with_radii(part.table, real_radii(part, choice)),
            .bender = choice.bender,
            .dies = choice.dies,
            .from = options.from};
  plan.findings = part.findings;
  for (Finding& finding : drawing_findings(part, options.style)) {
    plan.findings.push_back(std::move(finding));
  }
  for (const Finding& finding : choice.findings) plan.findings.push_back(finding);
  if ((tooled || part.table.num_bends() == 0) && choice.bender.has_value()) {
    BIGHT_TRY(const base::Done worked, work_out(plan, choice, options));
    static_cast<void>(worked);
  }
  if (part.welded && part.section.hollow() && part.section.round()) {
    plan.seam = best_seam(plan.bent_table, plan.steps.empty() ? 1 : plan.steps.front().bend);
  }
  if (options.changes && no_order_works(plan)) {
    add(plan.findings, changes_that_work(part, shop, options, plan));
  }
  add_rule_findings(plan);
  plan.checks = check_dimensions(plan.bent_table, part.section, options.style);
  part::sort_by_weight(plan.findings);
  return plan;
}

}  // namespace bight::planning

#include "planning/planner.h"

#include <fmt/format.h>

#include <algorithm>

#include "planning/bent_shape.h"
#include "planning/blank.h"
#include "planning/checks.h"
#include "planning/metal_findings.h"
#include "planning/rule_findings.h"
#include "planning/seam.h"
#include "planning/shape_findings.h"
#include "planning/words.h"

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

std::vector<Step> steps(const Plan& plan, const ToolingChoice& choice, const LaidOut& laid_out) {
  const std::size_t n = plan.bent_table.num_bends();
  const bool from_a = plan.from == End::kA;
  const geometry::BendTable worked = from_a ? plan.bent_table : plan.bent_table.reversed();
  const std::vector<Angle> planes = worked.absolute_rotations();
  std::vector<Step> out;
  for (std::size_t k = 0; k < n; ++k) {
    const std::size_t bend = from_a ? k : n - 1 - k;
    const geometry::BendRow& row = worked.rows()[k];
    const UsedDie& used = choice.dies[choice.die_of_bend[bend]];
    const KnownSpringback& known = choice.known[choice.die_of_bend[bend]];
    Step step;
    step.bend = bend + 1;
    step.die = used.die.name;
    step.mark_mm = from_a ? laid_out.start_mm[bend] : laid_out.finish_mm[bend];
    step.mark_from_b_mm = laid_out.blank.cut.likely_mm - step.mark_mm;
    step.side = from_a ? MarkSide::kTowardsB : MarkSide::kTowardsA;
    if (known.mark_offset_mm().has_value()) {
      step.die_mark_mm = step.mark_mm - (from_a ? 1.0 : -1.0) * *known.mark_offset_mm();
    }
    step.straight_mm = row.straight_mm;
    step.rotation = plan.bender->rotation_sign_flipped ? (-row.rotation).wrapped() : row.rotation;
    step.wheel = wheel_reading(planes[k], *plan.bender);
    step.angle = row.angle;
    step.set_angle = known.set_band(row.angle);
    step.arc_mm = laid_out.arc_mm[bend];
    step.radius_after_release_mm = row.radius_mm;
    out.push_back(step);
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
  const auto grip = [&](double grip_mm, End end, const char* what) {
    if (grip_mm <= 0.0) return;
    plan.findings.push_back({Severity::kNote,
                             "blank.grip",
                             std::nullopt,
                             fmt::format("{} is added at end {} for {} and is cut off afterwards",
                                         say(grip_mm, style), end == End::kA ? "A" : "B", what),
                             "",
                             "the shop's data of the die set",
                             {{"grip_mm", grip_mm}}});
  };
  const End back = blank.front == End::kA ? End::kB : End::kA;
  grip(blank.grip_front_mm, blank.front, "the clamp");
  grip(blank.grip_back_mm, back, "the pressure die or collet");
}

void add_order_findings(Plan& plan) {
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
  const bool straight_piece = part.table.num_bends() == 0;
  if ((tooled || straight_piece) && choice.bender.has_value()) {
    BlankRequest request{plan.bent_table, part.section, part.end_a, part.end_b, {}, {},
                         *choice.bender,  options.from};
    for (const std::size_t die : choice.die_of_bend) {
      request.die_of_bend.push_back(&choice.dies[die].die);
      request.known_of_bend.push_back(&choice.known[die]);
    }
    const LaidOut laid_out = lay_out_blank(request);
    plan.blank = laid_out.blank;
    plan.steps = steps(plan, choice, laid_out);
    plan.mass_kg = part.section.mass_kg_per_m(part.material.density_kg_per_m3) *
                   plan.blank.cut.likely_mm * 1e-3;
    add_knowledge(plan, choice);
    add_blank_findings(plan, options.style);
    for (Finding& finding : clamp_findings(plan, options.style)) {
      plan.findings.push_back(std::move(finding));
    }
    add_order_findings(plan);
    add_metal_findings(plan);
  }
  if (part.welded && part.section.hollow() && part.section.round()) {
    plan.seam = best_seam(plan.bent_table);
  }
  add_rule_findings(plan);
  plan.checks = check_dimensions(plan.bent_table, part.section, options.style);
  part::sort_by_weight(plan.findings);
  return plan;
}

}  // namespace bight::planning

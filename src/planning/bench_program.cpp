#include "planning/bench_program.h"

#include <algorithm>
#include <cmath>

namespace bight::planning {

using base::Angle;
using base::Failure;
using inspection::Commanded;
using inspection::CommandedRow;

namespace {

// b of the die that makes this step.
double proportional_ratio(const Plan& plan, const Step& step) {
  for (const UsedDie& used : plan.dies) {
    if (used.die.name == step.die) return used.law.proportional_ratio;
  }
  return 0.0;
}

Angle by_table(Angle shown, const Plan& plan) {
  return plan.bender && plan.bender->rotation_sign_flipped ? (-shown).wrapped() : shown;
}

// What was fed before a bend, and behind the last one, less the plan's.
std::vector<double> feed_changes_mm(const Plan& plan, const Commanded& program) {
  std::vector<double> out;
  for (std::size_t i = 0; i < program.rows.size(); ++i) {
    out.push_back(program.rows[i].straight_mm - plan.bent_table.straight_mm(i));
  }
  out.push_back(program.last_straight_mm - plan.bent_table.last_straight_mm());
  return out;
}

// Marks lie from end A of the blank, so each moves with every feed before it.
void add_marks(const Plan& plan, BenchCorrection& out) {
  const std::vector<double> was_mm = feed_changes_mm(plan, out.last);
  const std::vector<double> is_mm = feed_changes_mm(plan, out.correction.next);
  out.old_cut_mm = out.new_cut_mm = plan.blank.cut.likely_mm;
  for (const double change_mm : was_mm) out.old_cut_mm += change_mm;
  for (const double change_mm : is_mm) out.new_cut_mm += change_mm;
  for (const Step& step : plan.steps) {
    NextMark mark{step.bend, step.die_mark_mm.value_or(step.mark_mm), 0.0};
    mark.new_mm = mark.old_mm;
    for (std::size_t i = 0; i < step.bend; ++i) {
      mark.old_mm += was_mm[i];
      mark.new_mm += is_mm[i];
    }
    out.marks.push_back(mark);
  }
}

}  // namespace

base::Result<Commanded> program_of(const Plan& plan, const inspection::Measured& measured) {
  const std::size_t n = plan.bent_table.num_bends();
  if (plan.steps.size() != n) {
    return Failure{"correct.program", measured.name,
                   "no program is known: the shop has no die set or bender for this part",
                   "bight plan says what is missing"};
  }
  Commanded out;
  out.last_straight_mm = plan.bent_table.last_straight_mm();
  for (const geometry::BendRow& row : plan.bent_table.rows()) {
    out.rows.push_back({row.straight_mm, row.rotation, row.angle});
  }
  for (const Step& step : plan.steps) {
    // Keyed in as fine as the bender takes it.
    const double finest_deg = plan.bender ? plan.bender->angle_step.deg() : 0.1;
    const double steps = std::round(step.set_angle.likely.deg() / finest_deg);
    out.rows[step.bend - 1].set = Angle::degrees(steps * finest_deg);
  }
  for (std::size_t i = 0; i < std::min(n, measured.bends.size()); ++i) {
    const inspection::MeasuredBend& bend = measured.bends[i];
    CommandedRow& row = out.rows[i];
    if (bend.fed_mm) row.straight_mm = *bend.fed_mm;
    if (bend.turned) row.rotation = by_table(*bend.turned, plan);
    if (bend.set) row.set = *bend.set;
  }
  return out;
}

base::Result<BenchCorrection> correct_piece(const Plan& plan,
                                            const inspection::Measured& measured) {
  BenchCorrection out;
  BIGHT_TRY(out.last, program_of(plan, measured));
  std::vector<double> ratios(plan.bent_table.num_bends(), 0.0);
  for (const Step& step : plan.steps) ratios[step.bend - 1] = proportional_ratio(plan, step);
  const inspection::CorrectionRequest request{plan.bent_table, out.last, ratios, measured,
                                              plan.part.section.height_mm()};
  BIGHT_TRY(out.correction, inspection::correct(request));
  add_marks(plan, out);
  return out;
}

}  // namespace bight::planning

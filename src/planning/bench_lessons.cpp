#include "planning/bench_lessons.h"

#include <algorithm>
#include <cmath>

#include "base/check.h"
#include "planning/bench_program.h"

namespace bight::planning {

using base::Angle;
using base::Failure;
using workshop::TrialBend;

namespace {

// No die turns further, and no bender is asked to.
Angle highest(const Plan& plan, const workshop::DieSet& die) {
  Angle out = Angle::degrees(180);
  if (plan.bender) out = std::min(out, plan.bender->angle_max);
  if (die.angle_max) out = std::min(out, *die.angle_max);
  return out;
}

}  // namespace

base::Result<std::vector<DieLessons>> lessons_of(const Plan& plan, const workshop::Shop& shop) {
  if (plan.steps.empty()) {
    return Failure{"learn.plan", plan.part.name,
                   "the shop has no die set or bender for this part, so there is nothing to learn "
                   "about it",
                   "bight plan says what is missing"};
  }
  std::vector<DieLessons> out;
  for (const UsedDie& used : plan.dies) {
    BIGHT_TRY(KnownSpringback known,
              KnownSpringback::make(shop, used.die, plan.part.section, plan.part.material));
    DieLessons lessons{used.die, std::move(known), {}, {}, {}};
    for (const Step& step : plan.steps) {
      if (step.die != used.die.name) continue;
      lessons.bends.push_back(step.bend);
      lessons.wanted.push_back(step.angle);
    }
    lessons.next =
        learning::best_trial(lessons.known.model(), lessons.wanted, highest(plan, used.die));
    out.push_back(std::move(lessons));
  }
  return out;
}

const DieLessons& lessons_for(const std::vector<DieLessons>& lessons, std::size_t bend) {
  for (const DieLessons& one : lessons) {
    if (std::find(one.bends.begin(), one.bends.end(), bend) != one.bends.end()) return one;
  }
  BIGHT_CHECK(false);
  return lessons.front();
}

base::Result<std::vector<TrialBend>> trials_of_piece(const Plan& plan,
                                                     const inspection::Measured& measured,
                                                     const std::string& heat,
                                                     const std::string& date,
                                                     const std::string& who) {
  BIGHT_TRY(const inspection::Commanded program, program_of(plan, measured));
  std::vector<TrialBend> out;
  for (const Step& step : plan.steps) {
    const std::size_t i = step.bend - 1;
    if (i >= measured.bends.size() || !measured.bends[i].angle) continue;
    TrialBend trial;
    trial.die = step.die;
    trial.bender = plan.bender ? plan.bender->name : "";
    trial.od_mm = plan.part.section.height_mm();
    trial.wall_mm = plan.part.section.wall_mm();
    trial.material = plan.part.material.name;
    trial.heat = heat.empty() ? plan.part.material.heat : heat;
    // To the millionth of a degree: a plan's angle is a whole number of keypad steps.
    trial.set_angle = Angle::degrees(std::round(program.rows[i].set.deg() * 1e6) / 1e6);
    trial.finished_angle = *measured.bends[i].angle;
    trial.date = date;
    trial.who = who;
    out.push_back(trial);
  }
  if (out.empty()) {
    return Failure{"learn.nothing", measured.name, "no finished angle was measured on this piece",
                   "measure the angle of at least one bend"};
  }
  return out;
}

std::vector<std::size_t> set_as_planned(const inspection::Measured& measured) {
  std::vector<std::size_t> out;
  for (std::size_t i = 0; i < measured.bends.size(); ++i) {
    if (measured.bends[i].angle && !measured.bends[i].set) out.push_back(i + 1);
  }
  return out;
}

}  // namespace bight::planning

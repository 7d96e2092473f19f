#include "planning/plan_run.h"

namespace bight::planning {

running::Run run_of_plan(const Plan& plan, int pieces) {
  running::Run run;
  run.name = plan.part.name;
  run.part = plan.part.name;
  if (plan.bender) run.bender = plan.bender->name;
  run.material = plan.part.material.name;
  run.heat = plan.part.material.heat;
  run.pieces_wanted = pieces;
  for (const Step& step : plan.steps) {
    run.steps.push_back({static_cast<int>(step.bend), step.die, step.angle, step.set_angle.likely,
                         plan.part.tolerance.angle});
  }
  return run;
}

}  // namespace bight::planning

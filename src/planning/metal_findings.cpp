#include "planning/metal_findings.h"

#include <algorithm>
#include <utility>

#include "planning/metal.h"

namespace bight::planning {

using part::Finding;
using part::Severity;

void add_metal_findings(Plan& plan) {
  for (const UsedDie& used : plan.dies) {
    base::Angle angle_most;
    std::size_t first_bend = 0;
    for (const Step& step : plan.steps) {
      if (step.die != used.die.name) continue;
      angle_most = std::max(angle_most, step.set_angle.likely);
      if (first_bend == 0) first_bend = step.bend;
    }
    if (first_bend == 0) continue;
    const stock::Section section = part::section_at(plan.part, first_bend - 1);
    base::Result<MetalForecast> result =
        forecast_metal(plan.part, section, used.die, *plan.bender, angle_most);
    if (!result.ok()) {
      const base::Failure& why = result.failure();
      plan.findings.push_back({Severity::kStop,
                               why.code,
                               std::nullopt,
                               why.message,
                               why.remedy,
                               "range of the bending model",
                               {}});
      continue;
    }
    MetalForecast forecast = std::move(result).value();
    for (Finding& finding : forecast.findings) plan.findings.push_back(std::move(finding));
    forecast.findings.clear();
    for (Step& step : plan.steps) {
      if (step.die != used.die.name) continue;
      step.torque_nmm = forecast.torque.likely_nmm;
      if (forecast.speed) step.speed_max_rpm = forecast.speed->advised_rpm;
    }
    plan.metal.push_back(std::move(forecast));
  }
}

}  // namespace bight::planning

#include "planning/plan.h"

namespace bight::planning {

const std::optional<clearance::Nearest>& StepClearing::nearest() const {
  const bool itself =
      clearance.itself.has_value() &&
      (!clearance.nearest.has_value() || clearance.itself->low_mm < clearance.nearest->low_mm);
  return itself ? clearance.itself : clearance.nearest;
}

}  // namespace bight::planning

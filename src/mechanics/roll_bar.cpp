#include <memory>

#include "mechanics/moment_curve.h"
#include "mechanics/three_roll.h"

namespace bight::mechanics {

RollBar roll_bar(const stock::Section& section, const stock::FlowCurve& curve) {
  const auto law = std::make_shared<const MomentCurve>(section, curve);
  return RollBar{section.height_mm(), law->stiffness_nmm2(),
                 [law](double kappa_per_mm) { return law->moment_nmm(kappa_per_mm); },
                 section.inner_mm()};
}

}  // namespace bight::mechanics

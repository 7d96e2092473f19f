#include "mechanics/springback.h"

#include <fmt/format.h>

#include "mechanics/bend.h"

namespace bight::mechanics {

base::Angle SpringbackPrior::set_angle(base::Angle finished) const {
  return (finished + constant) / (1.0 - proportional_ratio);
}

base::Angle SpringbackPrior::finished_angle(base::Angle set) const {
  return set * (1.0 - proportional_ratio) - constant;
}

base::Result<SpringbackPrior> first_springback(const stock::Section& section,
                                               const stock::Material& material,
                                               double die_radius_mm) {
  BIGHT_TRY(const stock::DerivedFlow flow, stock::flow_curve(material));
  BendCase bend{section, flow.curve, die_radius_mm};
  bend.poisson_ratio = material.poisson_ratio;
  BIGHT_TRY(const BendPrediction out, predict_bend(bend));
  SpringbackPrior prior;
  prior.proportional_ratio = out.springback_ratio;
  prior.constant = out.constant;
  prior.proportional_low_ratio = prior.proportional_ratio * (1.0 - kUncalibratedSpringback_ratio);
  prior.proportional_high_ratio = prior.proportional_ratio * (1.0 + kUncalibratedSpringback_ratio);
  prior.constant_low = base::Angle{};
  prior.constant_high = prior.constant * 2.0;
  prior.basis = fmt::format(
      "section integral and release at {:.5g} mm; constant part over one section height; not "
      "proven: bend a trial",
      die_radius_mm);
  prior.source = fmt::format("{} ({}); band +-40 % after published misses of uncalibrated models",
                             flow.construction, stock::words(flow.provenance));
  return prior;
}

}  // namespace bight::mechanics

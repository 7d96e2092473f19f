#include "mechanics/springback.h"

#include <fmt/format.h>

#include <cmath>

#include "mechanics/moment_curve.h"

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
  if (!std::isfinite(die_radius_mm) || die_radius_mm <= section.height_mm() / 2.0) {
    return base::Failure{
        "bend.radius", "die radius",
        fmt::format("a die radius of {:.5g} mm is inside the section of {:.5g} mm height",
                    die_radius_mm, section.height_mm()),
        "a centreline radius above half the section's height"};
  }
  BIGHT_TRY(const stock::DerivedFlow flow, stock::flow_curve(material));
  const MomentCurve curve(section, flow.curve);
  const double lost_per_mm = curve.moment_nmm(1.0 / die_radius_mm) / curve.stiffness_nmm2();
  SpringbackPrior prior;
  prior.proportional_ratio = lost_per_mm * die_radius_mm;
  prior.constant = base::Angle::radians(lost_per_mm * section.height_mm());
  prior.proportional_low_ratio = prior.proportional_ratio * (1.0 - kUncalibratedSpringback_ratio);
  prior.proportional_high_ratio = prior.proportional_ratio * (1.0 + kUncalibratedSpringback_ratio);
  prior.constant_low = base::Angle{};
  prior.constant_high = prior.constant * 2.0;
  prior.basis = fmt::format(
      "section integral at {:.5g} mm; constant part over one section height; not proven: bend a "
      "trial",
      die_radius_mm);
  prior.source = fmt::format("{} ({}); band +-40 % after published misses of uncalibrated models",
                             flow.construction, stock::words(flow.provenance));
  return prior;
}

}  // namespace bight::mechanics

#include "planning/metal_findings.h"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

#include "mechanics/moment_curve.h"
#include "planning/words.h"
#include "stock/flow_curve.h"

namespace bight::planning {

using part::Finding;
using part::Severity;

namespace {

// Torque at the die for a bending moment when friction is not known: 1.3 to 1.5 times the moment
// (common practice, no source).
constexpr double kLikelyTorque_ratio = 1.4;
constexpr double kHighTorque_ratio = 1.5;

// Stretch of the outermost fibre, D / (2 R) (trade sheets; the shift of the neutral layer adds to
// it).
double outer_stretch_ratio(const stock::Section& section, double radius_mm) {
  return section.height_mm() / (2.0 * radius_mm);
}

void add_stretch(Plan& plan, const Step& step) {
  const std::optional<stock::Sourced>& elongation = plan.part.material.elongation_ratio;
  if (!elongation) return;
  const double stretch_ratio = outer_stretch_ratio(plan.part.section, step.radius_after_release_mm);
  if (stretch_ratio <= elongation->value) return;
  plan.findings.push_back(
      {Severity::kCaution,
       "metal.elongation",
       step.bend,
       fmt::format("the outside stretches by {:.0f} %, {} breaks at {:.0f} % in the tensile test",
                   100.0 * stretch_ratio, plan.part.material.name, 100.0 * elongation->value),
       "a larger radius, a softer condition, or a trial bend cut open and looked at",
       fmt::format("outer strain D/2R; elongation {}", stock::words(elongation->provenance)),
       {{"stretch_ratio", stretch_ratio}, {"elongation_ratio", elongation->value}}});
}

void add_torque(Plan& plan, const Step& step, double moment_nmm) {
  const std::optional<double>& limit_nmm = plan.bender->torque_max_nmm;
  const double high_nmm = moment_nmm * kHighTorque_ratio;
  if (!limit_nmm || high_nmm <= *limit_nmm) return;
  const bool surely = moment_nmm > *limit_nmm;
  plan.findings.push_back(
      {surely ? Severity::kStop : Severity::kCaution,
       "plan.torque",
       step.bend,
       fmt::format("bending takes about {:.0f} N·m and up to {:.0f} N·m at the die, bender {} "
                   "gives {:.0f} N·m",
                   step.torque_nmm * 1e-3, high_nmm * 1e-3, plan.bender->name, *limit_nmm * 1e-3),
       surely ? "another bender or a lighter section"
              : "bend slowly, lubricate, and stop if the bender labours",
       "section moment of the flow curve x 1.3 to 1.5 (common practice, no source)",
       {{"torque_nm", step.torque_nmm * 1e-3}, {"limit_nm", *limit_nmm * 1e-3}}});
}

}  // namespace

void add_metal_findings(Plan& plan, const base::LengthStyle&) {
  const base::Result<stock::DerivedFlow> flow = stock::flow_curve(plan.part.material);
  for (Step& step : plan.steps) {
    add_stretch(plan, step);
    if (!flow.ok()) continue;
    double die_radius_mm = step.radius_after_release_mm;
    for (const UsedDie& used : plan.dies) {
      if (used.die.name == step.die) die_radius_mm = used.die.radius_mm;
    }
    const double moment_nmm =
        mechanics::MomentCurve(plan.part.section, flow->curve).moment_nmm(1.0 / die_radius_mm);
    step.torque_nmm = kLikelyTorque_ratio * moment_nmm;
    add_torque(plan, step, moment_nmm);
  }
}

}  // namespace bight::planning

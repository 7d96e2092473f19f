#include "mechanics/bend.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace bight::mechanics {

namespace {

// Beyond this share of the yield force a bar stretches rather than bends.
constexpr double kLargestForce_ratio = 0.9;
// Below this stressed height the outer fibre counts as elastic: rounding.
constexpr double kElasticSlack_ratio = 1.0 + 1e-9;

base::Failure bad_input(const char* where, double value, const char* remedy) {
  return {"bend.input", where, fmt::format("{} is out of range", value), remedy};
}

// Everything the prediction and the stress profile share.
struct Loaded {
  FibreLaw law;
  Profile profile;
  double thinning_ratio;
  Kinematics kinematics;
};

Loaded load(const BendCase& bend) {
  FibreLaw law(bend.curve, bend.hold_ratio, bend.poisson_ratio);
  Profile coarse(bend.section, Profile::Detail::kCoarse);
  const Kinematics kinematics =
      balance(coarse, law, bend.die_radius_mm, bend.axial_force_n, bend.refinements);
  const double thinning = bend.refinements.wall_change ? law.thinning_share_ratio() : 0.0;
  return {law, Profile(bend.section), thinning, kinematics};
}

Release let_go(const BendCase& bend, const Loaded& loaded) {
  const Hold hold = bend.support == Support::kFree ? Hold::kFree : Hold::kHeld;
  return release(bend.section, loaded.profile, loaded.law, loaded.kinematics, loaded.thinning_ratio,
                 bend.poisson_ratio, bend.unloading ? &*bend.unloading : nullptr, hold,
                 bend.refinements.relaxation);
}

// Strain change of the fibre at a height on the outermost line of the plane of bending.
double release_strain(const Release& r, const Kinematics& k, const stock::Section& section,
                      double y_mm) {
  const double rho = k.radius_mm + y_mm;
  double strain = r.angle_ratio + r.axial_strain_mm / rho;
  if (section.kind() != stock::SectionKind::kRoundTube) return strain;
  const double ring = 0.5 * (section.height_mm() - section.wall_mm());
  const double c = std::clamp(y_mm / ring, -1.0, 1.0);
  const double s = std::sqrt(1.0 - c * c);
  for (std::size_t i = 0; i < kHoopModes; ++i) {
    if (r.hoop_ratio[i] == 0.0) continue;
    strain += r.hoop_ratio[i] * ring * hoop_rise_ratio(static_cast<int>(i) + 2, c, s) / rho;
  }
  return strain;
}

StressPoint stress_at(const BendCase& bend, const Loaded& loaded, const Release& r, double y_mm) {
  const double strain = loaded.kinematics.strain(y_mm);
  const double stress = fibre_stress_mpa(loaded.law, loaded.kinematics, y_mm, strain);
  double modulus = loaded.law.modulus_mpa();
  if (bend.unloading) {
    modulus = bend.unloading->at(modulus, loaded.law.equivalent_plastic_ratio(strain));
  }
  const double change = modulus * release_strain(r, loaded.kinematics, bend.section, y_mm);
  return {y_mm, stress, stress + change};
}

}  // namespace

base::Status check(const BendCase& bend) {
  if (bend.section.open()) {
    return base::Failure{
        "bend.section", "section",
        fmt::format("{} is an {}: a round or rectangular die gives its legs no hold, so it is "
                    "rolled, not bent in a die",
                    bend.section.text(),
                    bend.section.kind() == stock::SectionKind::kAngle ? "angle" : "open channel"),
        "three rolls with grooves for it (roll)"};
  }
  const double half = bend.section.height_mm() / 2.0;
  if (!std::isfinite(bend.die_radius_mm) || bend.die_radius_mm <= half) {
    return base::Failure{"bend.radius", "die radius",
                         fmt::format("a die radius of {:.5g} mm is inside a section {:.5g} mm high",
                                     bend.die_radius_mm, bend.section.height_mm()),
                         fmt::format("a centreline radius above {:.5g} mm", half)};
  }
  if (!(bend.poisson_ratio >= 0.0 && bend.poisson_ratio < 0.5)) {
    return bad_input("poisson", bend.poisson_ratio, "a Poisson ratio from 0 to below 0.5");
  }
  if (!(bend.hold_ratio >= 0.0 && bend.hold_ratio <= 1.0)) {
    return bad_input("hold", bend.hold_ratio, "a share from 0 to 1");
  }
  if (bend.unloading && !(bend.unloading->saturated_mpa > 0.0 &&
                          bend.unloading->saturated_mpa <= bend.curve.youngs_mpa() &&
                          bend.unloading->rate_ratio >= 0.0)) {
    return bad_input("unloading modulus", bend.unloading->saturated_mpa,
                     "a modulus above 0, not above Young's");
  }
  const double yield_force = bend.curve.yield_mpa() * bend.section.area_mm2();
  if (!(std::abs(bend.axial_force_n) < kLargestForce_ratio * yield_force)) {
    return base::Failure{
        "bend.axial", "axial force",
        fmt::format("{:.5g} N is {:.0f} % of the force at which the section "
                    "yields along its length",
                    bend.axial_force_n, 100.0 * std::abs(bend.axial_force_n) / yield_force),
        "less drag or boost"};
  }
  return base::Done{};
}

base::Result<BendPrediction> predict_bend(const BendCase& bend) {
  BIGHT_TRY([[maybe_unused]] base::Done checked, check(bend));
  const Loaded loaded = load(bend);
  const Kinematics& k = loaded.kinematics;
  const double top = loaded.profile.top_mm();
  const double bottom = loaded.profile.bottom_mm();
  BendPrediction out;
  out.outer_strain_ratio = std::expm1(k.strain(top));
  out.inner_strain_ratio = std::expm1(k.strain(bottom));
  out.neutral_shift_mm = -k.height_mm(0.0);
  out.instant_shift_mm = -k.neutral_mm();
  out.stretch_ratio = std::expm1(k.centre_strain_ratio);
  // The wall at its middle; a solid at its edge.
  const double half_wall = bend.section.hollow() ? 0.5 * bend.section.wall_mm() : 0.0;
  out.wall_outer_ratio = std::exp(-loaded.thinning_ratio * k.strain(top - half_wall));
  out.wall_inner_ratio = std::exp(-loaded.thinning_ratio * k.strain(bottom + half_wall));
  const double largest = std::max(k.strain(top), -k.strain(bottom));
  out.stays_elastic = largest <= loaded.law.yield_strain_ratio() * kElasticSlack_ratio;

  out.release = let_go(bend, loaded);
  out.moment_nmm = out.release.moment_nmm;
  out.springback_ratio = out.release.total_ratio;
  out.released_radius_mm = out.springback_ratio < 1.0
                               ? bend.die_radius_mm / (1.0 - out.springback_ratio)
                               : std::numeric_limits<double>::infinity();
  const double stiffness = loaded.law.modulus_mpa() * bend.section.second_moment_mm4();
  out.constant = base::Angle::radians(out.moment_nmm / stiffness * bend.section.height_mm());
  out.residual_outer_mpa = stress_at(bend, loaded, out.release, top).residual_mpa;
  out.residual_inner_mpa = stress_at(bend, loaded, out.release, bottom).residual_mpa;
  return out;
}

base::Result<std::vector<StressPoint>> residual_stress(const BendCase& bend, int count) {
  BIGHT_TRY([[maybe_unused]] base::Done checked, check(bend));
  if (count < 2) return bad_input("count", count, "two heights or more");
  const Loaded loaded = load(bend);
  const Release r = let_go(bend, loaded);
  const double top = loaded.profile.top_mm();
  const double bottom = loaded.profile.bottom_mm();
  std::vector<StressPoint> points;
  points.reserve(static_cast<std::size_t>(count));
  for (int i = 0; i < count; ++i) {
    points.push_back(stress_at(bend, loaded, r, bottom + (top - bottom) * i / (count - 1)));
  }
  return points;
}

double BendPrediction::material_mm(base::Angle loaded, double die_radius_mm) const {
  return loaded.rad() * die_radius_mm / (1.0 + stretch_ratio);
}

base::Angle BendPrediction::finished_angle(base::Angle set) const {
  return set * (1.0 - springback_ratio) - constant;
}

base::Angle BendPrediction::set_angle(base::Angle finished) const {
  return (finished + constant) / (1.0 - springback_ratio);
}

}  // namespace bight::mechanics

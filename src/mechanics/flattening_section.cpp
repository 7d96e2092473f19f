#include "mechanics/flattening_section.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace bight::mechanics {

namespace {

constexpr std::array<double, FlatteningSection::kWallPoints> kWallAt{
    -0.9324695142031521, -0.6612093864662645, -0.2386191860831969,
    0.2386191860831969,  0.6612093864662645,  0.9324695142031521};
constexpr std::array<double, FlatteningSection::kWallPoints> kWallWeight{
    0.1713244923791704, 0.3607615730481386, 0.4679139345726910,
    0.4679139345726910, 0.3607615730481386, 0.1713244923791704};
// The hoop force of a station is zero to this share of what its strains could carry.
constexpr double kSmallForce_ratio = 1e-7;
// An effective strain is found to this share of itself.
constexpr double kStrain_ratio = 1e-10;

// One station of the ring: how height, its derivative by zeta, and hoop curvature follow zeta.
struct Station {
  double height_mm = 0.0;               // y
  double height_by_zeta_mm = 0.0;       // dy/dzeta
  double bending_by_zeta_per_mm = 0.0;  // d(kappa_h)/dzeta
};

Station free_station(double radius_mm, double phi, double zeta) {
  // y = r sin(phi) sqrt(1 - 2 zeta sin^2 phi): to first order the inextensible ring, its square
  // exactly the classical r^2 (sin^2 - 2 zeta sin^4), so the elastic limit is Brazier's.
  const double sine = std::sin(phi);
  const double root = std::sqrt(1 - 2 * zeta * sine * sine);
  return {radius_mm * sine * root, -radius_mm * sine * sine * sine / root,
          3 * std::cos(2 * phi) / radius_mm};
}

Station cradled_station(double radius_mm, double phi, double zeta) {
  const double radial = -0.5 * (std::cos(4 * phi) - std::cos(2 * phi));        // w / (zeta r)
  const double along = 0.5 * (std::sin(4 * phi) / 4 - std::sin(2 * phi) / 2);  // v / (zeta r)
  const double slope_mm = radius_mm * (radial * std::sin(phi) + along * std::cos(phi));
  return {radius_mm * std::sin(phi) + zeta * slope_mm, slope_mm,
          0.5 * (15 * std::cos(4 * phi) - 3 * std::cos(2 * phi)) / radius_mm};
}

}  // namespace

FlatteningSection::FlatteningSection(const FlatteningTube& tube, const stock::FlowCurve& curve,
                                     FlatteningMode mode)
    : tube_(tube), mode_(mode), law_(curve, 0.0, tube.poisson_ratio) {}

// Deformation theory (Hencky), plane stress, secant modulus Es:
//   s_x = Es/(1 - nu_s^2)(e_x + nu_s e_h), nu_s = 1/2 - (Es/E)(1/2 - nu)
// The von Mises stress is Es times an effective strain that depends on Es through nu_s alone, so
// the strain on the flow curve is a fixed point e = effective(s(e)/e), closed by secant steps.
FlatteningSection::PlaneStress FlatteningSection::plane_stress(double axial_ratio,
                                                               double hoop_ratio) const {
  const double youngs_mpa = law_.modulus_mpa();
  const double give = (0.5 - tube_.poisson_ratio) / youngs_mpa;
  double nu = 0.0, axial = 0.0, hoop = 0.0;  // stresses for a secant modulus of one
  const auto effective = [&](double secant_mpa) {
    nu = 0.5 - secant_mpa * give;
    const double factor = 1 / (1 - nu * nu);
    axial = factor * (axial_ratio + nu * hoop_ratio);
    hoop = factor * (hoop_ratio + nu * axial_ratio);
    return std::sqrt(axial * axial - axial * hoop + hoop * hoop);
  };
  double at = effective(youngs_mpa);
  if (at <= law_.yield_strain_ratio()) return {youngs_mpa * axial, youngs_mpa * hoop};
  at = effective(0.0);  // incompressible: within a few per cent
  double miss = 0.0;
  double before = 0.0, miss_before = 0.0;
  double secant_mpa = 0.0;
  for (int step = 0; step < 40; ++step) {
    secant_mpa = std::min(youngs_mpa, law_.stress_mpa(at) / at);
    miss = effective(secant_mpa) - at;
    if (std::abs(miss) <= kStrain_ratio * at) break;
    double next = at + miss;
    if (step > 0 && miss != miss_before) {
      const double secant = at - miss * (at - before) / (miss - miss_before);
      if (std::abs(secant - at) <= 10 * std::abs(miss)) next = secant;
    }
    before = at;
    miss_before = miss;
    at = next;
  }
  return {secant_mpa * axial, secant_mpa * hoop};
}

FlatteningSection::WallForces FlatteningSection::wall_forces(double axial_ratio,
                                                             double membrane_ratio,
                                                             double bending_per_mm) const {
  WallForces forces;
  for (std::size_t i = 0; i < kWallPoints; ++i) {
    const double depth_mm = tube_.wall_mm / 2 * kWallAt[i];
    const double weight_mm = tube_.wall_mm / 2 * kWallWeight[i];
    const PlaneStress stress =
        plane_stress(axial_ratio, membrane_ratio + depth_mm * bending_per_mm);
    forces.axial_n_per_mm += stress.axial_mpa * weight_mm;
    forces.hoop_n_per_mm += stress.hoop_mpa * weight_mm;
    forces.hoop_moment_n += stress.hoop_mpa * depth_mm * weight_mm;
  }
  return forces;
}

// Membrane strain chosen so that the hoop force vanishes: secant steps from where it was last, and
// a bracketed search where those do not close quickly.
FlatteningSection::WallForces FlatteningSection::relaxed_forces(double axial_ratio,
                                                                double bending_per_mm,
                                                                Memory& memory) const {
  const double surface_ratio = std::abs(bending_per_mm) * tube_.wall_mm / 2;
  const double small =
      kSmallForce_ratio * tube_.wall_mm *
      std::min(law_.yield_mpa(), (std::abs(axial_ratio) + surface_ratio) * law_.modulus_mpa());
  double at = memory.membrane_ratio;
  double slope = memory.slope_n_per_mm;
  const double reach = std::abs(axial_ratio) + surface_ratio;
  for (int step = 0; slope > 0 && step < 8; ++step) {
    const WallForces forces = wall_forces(axial_ratio, at, bending_per_mm);
    if (std::abs(forces.hoop_n_per_mm) <= small) {
      memory = {at, slope};
      return forces;
    }
    const double next = at - forces.hoop_n_per_mm / slope;
    if (!(std::abs(next) <= 2 * reach)) break;
    const WallForces there = wall_forces(axial_ratio, next, bending_per_mm);
    if (std::abs(there.hoop_n_per_mm) <= small) {
      memory = {next, slope};
      return there;
    }
    slope = (there.hoop_n_per_mm - forces.hoop_n_per_mm) / (next - at);
    at = slope > 0 ? next - there.hoop_n_per_mm / slope : next;
  }
  return searched_forces(axial_ratio, bending_per_mm, small, memory);
}

FlatteningSection::WallForces FlatteningSection::searched_forces(double axial_ratio,
                                                                 double bending_per_mm,
                                                                 double small_n_per_mm,
                                                                 Memory& memory) const {
  const double surface_ratio = std::abs(bending_per_mm) * tube_.wall_mm / 2;
  WallForces forces;
  const auto hoop = [&](double membrane_ratio) {
    forces = wall_forces(axial_ratio, membrane_ratio, bending_per_mm);
    return forces.hoop_n_per_mm;
  };
  // Without hoop bending the strain is -e/2 once well yielded, -nu e before: start between them.
  const bool yielded = std::abs(axial_ratio) > law_.yield_strain_ratio();
  double at = -axial_ratio * (yielded ? 0.5 : tube_.poisson_ratio);
  double here = hoop(at);
  double before = at;
  double before_n = here;
  double stride = 0.02 * (std::abs(axial_ratio) + surface_ratio);
  // Walk downhill until the sign changes; the force rises with the strain.
  while (std::abs(here) > small_n_per_mm && (here > 0) == (before_n > 0) && stride < 1e3) {
    before = at;
    before_n = here;
    at += here > 0 ? -stride : stride;
    here = hoop(at);
    stride *= 2;
  }
  double low = std::min(at, before), high = std::max(at, before);
  double low_n = at < before ? here : before_n, high_n = at < before ? before_n : here;
  int kept = 0;  // Illinois variant of false position
  for (int step = 0; step < 60 && std::abs(here) > small_n_per_mm; ++step) {
    if (high - low <= 1e-15 + 1e-12 * std::abs(high)) break;
    at = low + (high - low) * low_n / (low_n - high_n);
    here = hoop(at);
    const bool below = here < 0;
    (below ? low : high) = at;
    (below ? low_n : high_n) = here;
    if (kept == (below ? 1 : -1)) (below ? high_n : low_n) /= 2;
    kept = below ? 1 : -1;
  }
  // A start for the next call; the elastic slope is too steep, which only costs a step.
  memory = {at, law_.modulus_mpa() * tube_.wall_mm};
  return forces;
}

FlatteningForces FlatteningSection::forces(double curvature_per_mm, double zeta) {
  const double radius_mm = tube_.mean_radius_mm();
  const double step_rad = std::numbers::pi / 2 / static_cast<double>(kRingPoints);
  const double share_mm = radius_mm * step_rad;
  const bool free = mode_ == FlatteningMode::kFree;
  // Free: four like quarters. Cradled: two flatten, two keep their shape.
  const double moving = free ? 4 : 2;
  FlatteningForces total;
  for (std::size_t i = 0; i < kRingPoints; ++i) {
    const double phi = (static_cast<double>(i) + 0.5) * step_rad;
    const Station station =
        free ? free_station(radius_mm, phi, zeta) : cradled_station(radius_mm, phi, zeta);
    const WallForces wall = relaxed_forces(curvature_per_mm * station.height_mm,
                                           zeta * station.bending_by_zeta_per_mm, stations_[i]);
    total.by_zeta_nmm += moving * share_mm *
                         (wall.axial_n_per_mm * curvature_per_mm * station.height_by_zeta_mm +
                          wall.hoop_moment_n * station.bending_by_zeta_per_mm);
    total.moment_nmm += moving * share_mm * wall.axial_n_per_mm * station.height_mm;
    if (free) continue;
    // The half that keeps its shape has no hoop bending: plain tension.
    const double height_mm = radius_mm * std::sin(phi);
    total.moment_nmm +=
        2 * share_mm * height_mm * tube_.wall_mm * law_.stress_mpa(curvature_per_mm * height_mm);
  }
  return total;
}

}  // namespace bight::mechanics

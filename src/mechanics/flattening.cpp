#include "mechanics/flattening.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

namespace bight::mechanics {
namespace {

// Points over a quarter of the ring (midpoint rule) and through the wall (Gauss-Legendre). Against
// 64 x 64 points, for a Swift steel 30 x 3 at 6 D and 10 D: flattening within 0.5 %, moment within
// 2e-4, collapse curvature within 0.25 %; the kink at yield limits it.
constexpr int kRingPoints = 24;
constexpr std::array<double, 6> kWallAt{-0.9324695142031521, -0.6612093864662645,
                                        -0.2386191860831969, 0.2386191860831969,
                                        0.6612093864662645,  0.9324695142031521};
constexpr std::array<double, 6> kWallWeight{0.1713244923791704, 0.3607615730481386,
                                            0.4679139345726910, 0.4679139345726910,
                                            0.3607615730481386, 0.1713244923791704};
constexpr double kAmplitudeMin = 1e-5;
constexpr double kAmplitudeMax = 0.45;
constexpr double kAmplitudeStep = 1.5;

struct PlaneStress {
  double axial_mpa = 0.0;
  double hoop_mpa = 0.0;
};

// A bracketed root of a rising function, closed by the Illinois variant of false position.
struct Bracket {
  double low = 0.0;
  double low_value = 0.0;  // negative
  double high = 0.0;
  double high_value = 0.0;  // positive
  int kept_side = 0;

  bool wide() const { return high - low > 1e-15 + 1e-12 * std::abs(high); }
  double next() const { return low + (high - low) * low_value / (low_value - high_value); }
  void take(double at, double value) {
    if (value < 0) {
      low = at;
      low_value = value;
      if (kept_side == 1) high_value /= 2;
      kept_side = 1;
    } else {
      high = at;
      high_value = value;
      if (kept_side == -1) low_value /= 2;
      kept_side = -1;
    }
  }
};

// Stresses for a secant modulus Es: s_x = Es/(1 - nu_s^2)(e_x + nu_s e_h), Poisson's ratio moving
// from elastic to 1/2 as nu_s = 1/2 - (Es/E)(1/2 - nu).
PlaneStress secant_stress(double secant_mpa, double youngs_mpa, double poisson_ratio,
                          double axial_ratio, double hoop_ratio) {
  const double nu = 0.5 - secant_mpa / youngs_mpa * (0.5 - poisson_ratio);
  const double factor_mpa = secant_mpa / (1 - nu * nu);
  return {factor_mpa * (axial_ratio + nu * hoop_ratio),
          factor_mpa * (hoop_ratio + nu * axial_ratio)};
}

double equivalent_mpa(const PlaneStress& stress) {
  return std::sqrt(stress.axial_mpa * stress.axial_mpa - stress.axial_mpa * stress.hoop_mpa +
                   stress.hoop_mpa * stress.hoop_mpa);
}

// Deformation theory (Hencky) with the flow curve: find plastic strain p whose flow stress equals
// the equivalent stress of the secant moduli. The residual falls with p, so a bracketed secant
// step always converges.
PlaneStress plane_stress(const stock::FlowCurve& curve, double poisson_ratio, double axial_ratio,
                         double hoop_ratio) {
  const double youngs_mpa = curve.youngs_mpa();
  const auto elastic =
      secant_stress(youngs_mpa, youngs_mpa, poisson_ratio, axial_ratio, hoop_ratio);
  const double elastic_mpa = equivalent_mpa(elastic);
  if (elastic_mpa <= curve.yield_mpa()) return elastic;
  PlaneStress stress;
  const auto residual_mpa = [&](double plastic_ratio) {
    const double flow_mpa = curve.flow_mpa(plastic_ratio);
    stress = secant_stress(flow_mpa / (flow_mpa / youngs_mpa + plastic_ratio), youngs_mpa,
                           poisson_ratio, axial_ratio, hoop_ratio);
    return equivalent_mpa(stress) - flow_mpa;
  };
  // Total equivalent strain of an incompressible metal, less its elastic part: a start within a
  // few per cent, from which the bracket closes in two or three steps.
  const double total_ratio = std::sqrt(
      4.0 / 3 * (axial_ratio * axial_ratio + axial_ratio * hoop_ratio + hoop_ratio * hoop_ratio));
  const double guess = std::max(0.0, total_ratio - curve.flow_mpa(total_ratio) / youngs_mpa);
  Bracket bracket{0.0, curve.yield_mpa() - elastic_mpa, 0.0, 0.0};
  bracket.high = 1.05 * total_ratio;
  bracket.high_value = -residual_mpa(bracket.high);
  double at = guess;
  for (int step = 0; step < 60 && bracket.wide(); ++step) {
    const double here_mpa = residual_mpa(at);
    if (std::abs(here_mpa) < 1e-9 * curve.yield_mpa()) break;
    bracket.take(at, -here_mpa);
    // The residual is nearly straight: one secant step from a point just beside the guess.
    at = step == 0 ? at + (here_mpa > 0 ? 1 : -1) * 0.02 * total_ratio : bracket.next();
    if (!(at > bracket.low && at < bracket.high)) at = bracket.next();
  }
  return stress;
}

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

// Generalised forces of the section per unit length: dW/dzeta and dW/dkappa.
struct Forces {
  double by_zeta_nmm = 0.0;
  double moment_nmm = 0.0;
};

// Line loads of one station, hoop membrane strain chosen so that the hoop force vanishes.
struct WallForces {
  double axial_n_per_mm = 0.0;
  double hoop_n_per_mm = 0.0;
  double hoop_moment_n = 0.0;
};

WallForces wall_forces(const FlatteningTube& tube, const stock::FlowCurve& curve,
                       double axial_ratio, double membrane_ratio, double bending_per_mm) {
  WallForces forces;
  for (std::size_t i = 0; i < kWallAt.size(); ++i) {
    const double depth_mm = tube.wall_mm / 2 * kWallAt[i];
    const double weight_mm = tube.wall_mm / 2 * kWallWeight[i];
    const auto stress = plane_stress(curve, tube.poisson_ratio, axial_ratio,
                                     membrane_ratio + depth_mm * bending_per_mm);
    forces.axial_n_per_mm += stress.axial_mpa * weight_mm;
    forces.hoop_n_per_mm += stress.hoop_mpa * weight_mm;
    forces.hoop_moment_n += stress.hoop_mpa * depth_mm * weight_mm;
  }
  return forces;
}

WallForces relaxed_forces(const FlatteningTube& tube, const stock::FlowCurve& curve,
                          double axial_ratio, double bending_per_mm) {
  const double surface_ratio = std::abs(bending_per_mm) * tube.wall_mm / 2;
  const auto hoop_n = [&](double membrane_ratio, WallForces& forces) {
    forces = wall_forces(tube, curve, axial_ratio, membrane_ratio, bending_per_mm);
    return forces.hoop_n_per_mm;
  };
  const double small_n =
      1e-8 * tube.wall_mm *
      std::min(curve.yield_mpa(), (std::abs(axial_ratio) + surface_ratio) * curve.youngs_mpa());
  WallForces forces;
  // Without hoop bending the strain is -e/2 once well yielded, -nu e before: start between them.
  double at =
      -axial_ratio *
      (std::abs(axial_ratio) * curve.youngs_mpa() > curve.yield_mpa() ? 0.5 : tube.poisson_ratio);
  double here_n = hoop_n(at, forces);
  if (std::abs(here_n) <= small_n) return forces;
  Bracket bracket;
  double stride = 0.02 * (std::abs(axial_ratio) + surface_ratio);
  // Walk downhill until the sign changes.
  double before = at;
  double before_n = here_n;
  do {
    before = at;
    before_n = here_n;
    at += here_n > 0 ? -stride : stride;
    here_n = hoop_n(at, forces);
    stride *= 2;
  } while ((here_n > 0) == (before_n > 0) && stride < 1e3);
  bracket =
      here_n > 0 ? Bracket{before, before_n, at, here_n} : Bracket{at, here_n, before, before_n};
  for (int step = 0; step < 60 && std::abs(here_n) > small_n && bracket.wide(); ++step) {
    at = bracket.next();
    here_n = hoop_n(at, forces);
    bracket.take(at, here_n);
  }
  return forces;
}

Forces section_forces(const FlatteningTube& tube, const stock::FlowCurve& curve,
                      FlatteningMode mode, double curvature_per_mm, double zeta) {
  const double radius_mm = tube.mean_radius_mm();
  const double step_rad = std::numbers::pi / 2 / kRingPoints;
  Forces total;
  for (int i = 0; i < kRingPoints; ++i) {
    const double phi = (i + 0.5) * step_rad;
    const double share_mm = radius_mm * step_rad;
    const Station station = mode == FlatteningMode::kFree ? free_station(radius_mm, phi, zeta)
                                                          : cradled_station(radius_mm, phi, zeta);
    const auto forces = relaxed_forces(tube, curve, curvature_per_mm * station.height_mm,
                                       zeta * station.bending_by_zeta_per_mm);
    // Free: four like quarters. Cradled: two flatten, two keep their shape.
    const double moving = mode == FlatteningMode::kFree ? 4 : 2;
    total.by_zeta_nmm += moving * share_mm *
                         (forces.axial_n_per_mm * curvature_per_mm * station.height_by_zeta_mm +
                          forces.hoop_moment_n * station.bending_by_zeta_per_mm);
    total.moment_nmm += moving * share_mm * forces.axial_n_per_mm * station.height_mm;
    if (mode == FlatteningMode::kCradled) {
      const double height_mm = radius_mm * std::sin(phi);
      total.moment_nmm +=
          2 * share_mm * height_mm *
          relaxed_forces(tube, curve, curvature_per_mm * height_mm, 0.0).axial_n_per_mm;
    }
  }
  return total;
}

}  // namespace

std::optional<FlatteningState> flattening_state(const FlatteningTube& tube,
                                                const stock::FlowCurve& curve, FlatteningMode mode,
                                                double curvature_per_mm) {
  const auto force_nmm = [&](double zeta) {
    return section_forces(tube, curve, mode, curvature_per_mm, zeta).by_zeta_nmm;
  };
  // The first equilibrium above the round section, which the bending drives away from: upwards in
  // steps of one half, because a gently bent tube flattens by parts in a million.
  Bracket bracket;
  bracket.low_value = force_nmm(0.0);
  const double scale_nmm = std::abs(bracket.low_value);
  if (!(bracket.low_value < 0)) return FlatteningState{};
  double zeta = kAmplitudeMin;
  double here_nmm = force_nmm(zeta);
  while (here_nmm <= 0 && zeta < kAmplitudeMax) {
    bracket.low = zeta;
    bracket.low_value = here_nmm;
    zeta = std::min(zeta * kAmplitudeStep, kAmplitudeMax);
    here_nmm = force_nmm(zeta);
  }
  if (here_nmm <= 0) return std::nullopt;
  bracket.high = zeta;
  bracket.high_value = here_nmm;
  while (bracket.high - bracket.low > 1e-9 * bracket.high && here_nmm != 0) {
    zeta = bracket.next();
    here_nmm = force_nmm(zeta);
    bracket.take(zeta, here_nmm);
    if (std::abs(here_nmm) < 1e-9 * scale_nmm) break;
  }
  return FlatteningState{zeta,
                         section_forces(tube, curve, mode, curvature_per_mm, zeta).moment_nmm};
}

std::optional<FlatteningState> stable_state(const FlatteningTube& tube,
                                            const stock::FlowCurve& curve, FlatteningMode mode,
                                            double curvature_per_mm) {
  // Central difference of the moment over a thousandth of the curvature.
  constexpr double kProbe_ratio = 5e-4;
  const auto before = flattening_state(tube, curve, mode, curvature_per_mm * (1 - kProbe_ratio));
  if (!before) return std::nullopt;
  const auto after = flattening_state(tube, curve, mode, curvature_per_mm * (1 + kProbe_ratio));
  if (!after || after->moment_nmm < before->moment_nmm) return std::nullopt;
  return FlatteningState{(before->amplitude_ratio + after->amplitude_ratio) / 2,
                         (before->moment_nmm + after->moment_nmm) / 2};
}

double collapse_curvature_per_mm(const FlatteningTube& tube, const stock::FlowCurve& curve,
                                 FlatteningMode mode) {
  double high_per_mm = 2 / tube.od_mm;
  if (stable_state(tube, curve, mode, high_per_mm)) {
    return std::numeric_limits<double>::infinity();
  }
  // A quarter of first yield, or of the elastic collapse of a very thin tube: safe from below.
  const double radius_mm = tube.mean_radius_mm();
  double low_per_mm = 0.25 * std::min(curve.yield_mpa() / curve.youngs_mpa() / radius_mm,
                                      tube.wall_mm / (radius_mm * radius_mm));
  while (high_per_mm > low_per_mm * (1 + 1e-4)) {
    const double middle_per_mm = std::sqrt(low_per_mm * high_per_mm);
    (stable_state(tube, curve, mode, middle_per_mm) ? low_per_mm : high_per_mm) = middle_per_mm;
  }
  return high_per_mm;
}

}  // namespace bight::mechanics

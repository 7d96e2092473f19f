#include "mechanics/flattening.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace bight::mechanics {
namespace {

constexpr double kAmplitudeMin = 1e-5;
constexpr double kAmplitudeMax = 0.45;
constexpr double kAmplitudeStep = 1.5;
constexpr double kForce_ratio = 1e-9;      // of the force on the round section
constexpr double kAmplitude_ratio = 1e-9;  // of itself
constexpr double kNearGuess_ratio = 1.3;   // a root further off may be another one

// A bracketed root of a rising function, closed by the Illinois variant of false position.
struct Bracket {
  double low = 0.0;
  double low_value = 0.0;  // negative
  double high = 0.0;
  double high_value = 0.0;  // positive
  int kept_side = 0;

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

// Secant steps from a guess; nothing when they leave its neighbourhood or run downhill.
std::optional<FlatteningState> near(FlatteningSection& section, double curvature_per_mm,
                                    double guess) {
  double before = guess;
  FlatteningForces forces = section.forces(curvature_per_mm, before);
  double before_nmm = forces.by_zeta_nmm;
  double zeta = guess * 1.002;
  for (int step = 0; step < 12; ++step) {
    if (!(zeta < guess * kNearGuess_ratio && zeta > guess / kNearGuess_ratio &&
          zeta < kAmplitudeMax)) {
      return std::nullopt;
    }
    forces = section.forces(curvature_per_mm, zeta);
    const double slope = (forces.by_zeta_nmm - before_nmm) / (zeta - before);
    if (!(slope > 0)) return std::nullopt;
    const double next = zeta - forces.by_zeta_nmm / slope;
    if (std::abs(next - zeta) <= 1e-7 * zeta) return FlatteningState{next, forces.moment_nmm};
    before = zeta;
    before_nmm = forces.by_zeta_nmm;
    zeta = next;
  }
  return std::nullopt;
}

}  // namespace

std::optional<FlatteningState> flattening_state(FlatteningSection& section, double curvature_per_mm,
                                                std::optional<double> guess_ratio) {
  if (guess_ratio && *guess_ratio > kAmplitudeMin) {
    const auto state = near(section, curvature_per_mm, *guess_ratio);
    if (state) return state;
  }
  const auto force_nmm = [&](double zeta) {
    return section.forces(curvature_per_mm, zeta).by_zeta_nmm;
  };
  // The first equilibrium above the round section, which the bending drives away from: upwards in
  // steps of one half, because a gently bent tube flattens by parts in a million.
  Bracket bracket;
  bracket.low_value = force_nmm(0.0);
  const double scale_nmm = std::abs(bracket.low_value);
  if (!(bracket.low_value < 0)) return FlatteningState{};
  double zeta = kAmplitudeMin;
  // Half of a guess is below the root, unless the guess was far out.
  if (guess_ratio && 0.5 * *guess_ratio > zeta && force_nmm(0.5 * *guess_ratio) < 0) {
    zeta = 0.5 * *guess_ratio;
  }
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
  while (bracket.high - bracket.low > kAmplitude_ratio * bracket.high && here_nmm != 0) {
    zeta = bracket.next();
    here_nmm = force_nmm(zeta);
    bracket.take(zeta, here_nmm);
    if (std::abs(here_nmm) < kForce_ratio * scale_nmm) break;
  }
  return FlatteningState{zeta, section.forces(curvature_per_mm, zeta).moment_nmm};
}

std::optional<FlatteningState> flattening_state(const FlatteningTube& tube,
                                                const stock::FlowCurve& curve, FlatteningMode mode,
                                                double curvature_per_mm) {
  FlatteningSection section(tube, curve, mode);
  return flattening_state(section, curvature_per_mm);
}

std::optional<FlatteningState> stable_state(const FlatteningTube& tube,
                                            const stock::FlowCurve& curve, FlatteningMode mode,
                                            double curvature_per_mm) {
  // Central difference of the moment over a thousandth of the curvature.
  constexpr double kProbe_ratio = 5e-4;
  FlatteningSection section(tube, curve, mode);
  const auto before = flattening_state(section, curvature_per_mm * (1 - kProbe_ratio));
  if (!before) return std::nullopt;
  const auto after =
      flattening_state(section, curvature_per_mm * (1 + kProbe_ratio), before->amplitude_ratio);
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

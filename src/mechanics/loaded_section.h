// The section while it is bent round the die: strains, neutral layer, stresses, moment.
// Equations and their limits: docs/theory/bend.md.
#pragma once

#include <array>
#include <cmath>

#include "mechanics/fibre_law.h"
#include "mechanics/profile.h"

namespace bight::mechanics {

// Which refinements beyond the textbook beam are on. All on is the model; switching one off shows
// what it is worth.
struct Refinements {
  bool logarithmic_strain = true;
  bool wall_change = true;    // wall thins outside and thickens inside
  bool neutral_shift = true;  // neutral layer moves so that the axial force balances
  bool relaxation = true;     // the section changes shape when it is let go
};

// Strain history of a fibre at height y while the curvature grows to kappa = 1/R:
//   stress-neutral layer at y_s(k) = y_N - c k (k the curvature so far), so the centreline
//   stretches by e_c = -ln(1 + y_N kappa) - ln(1 - c kappa^2)/2, and
//   e(y) = ln(1 + y/R) + e_c.
// y_N is where an axial force puts the neutral layer of the straight bar (0 without force); c is
// found from force balance. Fibres between y_s and y_N were pressed first and pulled later.
struct Kinematics {
  double radius_mm = 0.0;
  double curvature_per_mm = 0.0;
  double start_mm = 0.0;   // y_N
  double drift_mm2 = 0.0;  // c
  double centre_strain_ratio = 0.0;
  bool logarithmic = true;

  static Kinematics make(double radius_mm, double start_mm, double drift_mm2, bool logarithmic);

  double neutral_mm() const { return start_mm - drift_mm2 * curvature_per_mm; }
  // True strain of the fibre at a height.
  double strain(double y_mm) const {
    const auto beam = y_mm * curvature_per_mm;
    return (logarithmic ? std::log1p(beam) : beam) + centre_strain_ratio;
  }
  // Height of the fibre that carries a strain.
  double height_mm(double strain_ratio) const {
    const auto beam = strain_ratio - centre_strain_ratio;
    return (logarithmic ? std::expm1(beam) : beam) * radius_mm;
  }
};

// Axial stress of a fibre at a height, following its history.
double fibre_stress_mpa(const FibreLaw& law, const Kinematics& k, double y_mm, double strain_ratio);

// Sums over the deformed section.
struct LoadedSums {
  double force_n = 0.0;
  double moment_nmm = 0.0;  // about the centreline

  friend LoadedSums operator+(const LoadedSums& a, const LoadedSums& b) {
    return {a.force_n + b.force_n, a.moment_nmm + b.moment_nmm};
  }
  friend LoadedSums operator*(const LoadedSums& a, double w) {
    return {a.force_n * w, a.moment_nmm * w};
  }
};

// Heights where the stress has kinks, rising: first compressive yield, neutral layer, end of
// elastic reversal, start of the tension side, first tensile yield.
std::array<double, 5> kinks_mm(const FibreLaw& law, const Kinematics& k);

// Force and moment over a profile; `thinning` is the wall's share of the axial strain (0 for none).
LoadedSums loaded_sums(const Profile& profile, const FibreLaw& law, const Kinematics& k,
                       double thinning_ratio);

// Finds y_N and c for an axial force (positive: pull). The force must be below the yield force in
// size; the caller has checked it. Converges to 1e-7 of the yield force.
Kinematics balance(const Profile& profile, const FibreLaw& law, double radius_mm,
                   double axial_force_n, const Refinements& refinements);

}  // namespace bight::mechanics

// Metals: what they weigh, how stiff and strong they are, and how each number is known.
#pragma once

#include <optional>
#include <string>

#include "base/result.h"
#include "stock/provenance.h"

namespace bight::stock {

// True stress = strength * (true plastic strain)^exponent, MPa.
struct Hollomon {
  double strength_mpa = 0.0;    // K
  double exponent_ratio = 0.0;  // n
  Provenance provenance = Provenance::kUnconfirmed;
  std::string source;

  friend bool operator==(const Hollomon&, const Hollomon&) = default;
};

// One metal in one condition. Optional numbers are absent when nobody has published or measured
// them; a mill certificate overrides them (certified()).
struct Material {
  std::string name;       // catalogue name, "316L annealed"
  std::string spec;       // "ASTM A269"
  std::string condition;  // "annealed"
  std::string family;     // "stainless steel", as data/metals.csv groups them
  double density_kg_per_m3 = 0.0;
  Sourced youngs_mpa;
  double poisson_ratio = 0.3;
  std::optional<Sourced> yield_min_mpa;         // specified minimum Rp0.2
  std::optional<Sourced> tensile_min_mpa;       // specified minimum Rm
  std::optional<Sourced> elongation_min_ratio;  // specified minimum A, 0.25 = 25 %
  Sourced yield_mpa;                            // best known Rp0.2: certificate > typical > minimum
  Sourced tensile_mpa;                          // best known Rm
  std::optional<Sourced> elongation_ratio;      // best known A
  std::optional<Hollomon> hollomon;             // only a pair consistent with tensile_mpa
  std::optional<std::string> hollomon_rejected;  // why a published pair was refused
  std::string heat;                              // heat number when certified

  friend bool operator==(const Material&, const Material&) = default;
};

// What a number may be at all: no metal that is bent cold lies outside. Wide enough for every
// alloy, narrow enough to catch psi, ksi, GPa or per cent typed as if they were MPa or a ratio.
struct NumberRange {
  const char* name;
  const char* unit;
  double least;
  double most;
};
inline constexpr NumberRange kYieldRange{"yield strength", " MPa", 5.0, 3000.0};
inline constexpr NumberRange kTensileRange{"tensile strength", " MPa", 20.0, 3500.0};
inline constexpr NumberRange kElongationRange{"elongation", "", 0.001, 1.0};
inline constexpr NumberRange kYoungsRange{"modulus of elasticity", " MPa", 10000.0, 500000.0};
inline constexpr NumberRange kStrengthRange{"strength coefficient K", " MPa", 20.0, 6000.0};
inline constexpr NumberRange kExponentRange{"hardening exponent n", "", 0.001, 0.9};
inline constexpr NumberRange kDensityRange{"density", " kg/m³", 1000.0, 25000.0};
inline constexpr NumberRange kPoissonRange{"Poisson's ratio", "", 0.05, 0.495};

// What a mill certificate says; absent fields leave the catalogue's numbers alone.
struct Certificate {
  std::string heat;  // may be empty
  std::optional<double> yield_mpa;
  std::optional<double> tensile_mpa;
  std::optional<double> elongation_ratio;
  std::optional<double> youngs_mpa;
  std::optional<double> strength_mpa;    // K
  std::optional<double> exponent_ratio;  // n
};

// The material with the certificate's numbers in place of the catalogue's. A Hollomon pair that
// contradicts the certificate's Rm is re-derived as K = Rm (e/n)^n; of a pair that is only half on
// the certificate, the other half comes from the catalogue (n) or from Rm (K).
// Failure codes: material.certificate (a number that cannot be, or Rm below Rp0.2).
base::Result<Material> certified(const Material& material, const Certificate& certificate);

// Engineering tensile strength that a Hollomon pair implies, K (n/e)^n [MPa]
// (Considère's condition; derived). @pre strength_mpa > 0, exponent_ratio > 0.
double implied_tensile_mpa(double strength_mpa, double exponent_ratio);

// The K that makes a Hollomon pair imply this Rm, Rm (e/n)^n [MPa] (the same, solved for K).
// @pre tensile_mpa > 0, exponent_ratio > 0.
double derived_strength_mpa(double tensile_mpa, double exponent_ratio);

// A pair whose implied Rm is further than this from the known Rm is not used.
inline constexpr double kHollomonMismatch_ratio = 0.15;

// A Hollomon pair to work with, and why the one offered was refused, if it was.
struct CheckedHollomon {
  Hollomon pair;
  std::optional<std::string> rejected;
};

// The pair itself if it implies Rm within kHollomonMismatch_ratio; else the same n with K from Rm,
// marked derived. @pre all three numbers > 0.
CheckedHollomon checked_hollomon(const Hollomon& pair, double tensile_mpa);

}  // namespace bight::stock

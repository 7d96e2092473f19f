// One bend, predicted: strains, walls, neutral layer, moment, release, stretch. The engine that
// every number on a set-up sheet about "what the metal does" comes from.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/angle.h"
#include "base/result.h"
#include "mechanics/loaded_section.h"
#include "mechanics/release.h"
#include "stock/flow_curve.h"
#include "stock/section.h"

namespace bight::mechanics {

// What holds the section while it is bent.
enum class Support {
  kFree,     // nothing (air bending): in hoop equilibrium, ovalises under load
  kDie,      // grooved die, no mandrel: the section is taken as held round
  kMandrel,  // die and mandrel: held round
};

// What is bent, and how.
struct BendCase {
  stock::Section section;
  stock::FlowCurve curve;
  double die_radius_mm = 0.0;  // loaded centreline radius
  Support support = Support::kDie;
  double poisson_ratio = 0.3;
  // Share of the hoop strain that the tooling prevents: 0, the metal may slide round the held
  // circle (hoop and thickness share the strain); 1, all strain goes into the wall.
  double hold_ratio = 0.0;
  // Pull (+) of pressure-die and mandrel drag, push (-) of a boosted pressure die.
  double axial_force_n = 0.0;
  std::optional<stock::UnloadingModulus> unloading = std::nullopt;  // none: E stays
  Refinements refinements = {};
};

// All shares refer to the straight stock. Heights are measured from the centreline, outwards.
struct BendPrediction {
  double moment_nmm = 0.0;          // about the centreline, loaded
  double outer_strain_ratio = 0.0;  // engineering, outermost fibre
  double inner_strain_ratio = 0.0;  // engineering, innermost fibre, negative
  double neutral_shift_mm = 0.0;    // fibre of unchanged length, inside the centreline
  double instant_shift_mm = 0.0;    // fibre that does not stretch as the bend is finished, ditto
  double stretch_ratio = 0.0;       // elongation of the centreline
  double wall_outer_ratio = 1.0;    // wall left outside; bar: width left
  double wall_inner_ratio = 1.0;
  Release release;
  double springback_ratio = 0.0;  // share of the bend angle lost, = release.total_ratio
  double released_radius_mm = 0.0;
  // Loss of angle in the straight run-ups, independent of the bend angle: (M/EI) * one height.
  base::Angle constant;
  double residual_outer_mpa = 0.0;  // outermost fibre after release
  double residual_inner_mpa = 0.0;
  bool stays_elastic = false;  // no fibre yielded: it springs back straight

  // Length of straight stock that a loaded bend angle uses up.
  double material_mm(base::Angle loaded, double die_radius_mm) const;
  base::Angle finished_angle(base::Angle set) const;
  base::Angle set_angle(base::Angle finished) const;
};

// Predicts a bend. Accuracy against a reference integration: docs/theory/bend.md (better than 1e-3
// of the moment with eight points a piece); against the bench: springback +-40 % until a trial.
//
// Failure codes: bend.section (an angle or channel: rolled only), bend.radius (not above half the
// section's height), bend.axial (force at or beyond nine tenths of the yield force), bend.input (a
// number out of range, named in `where`).
base::Result<BendPrediction> predict_bend(const BendCase& bend);

// Stress along the height at the mid-wall, loaded and after release.
struct StressPoint {
  double height_mm, loaded_mpa, residual_mpa;
};
// `count` heights from inside to outside, at least 2. Failure codes: as predict_bend().
base::Result<std::vector<StressPoint>> residual_stress(const BendCase& bend, int count);

// Checks the numbers of a case without computing anything.
base::Status check(const BendCase& bend);

}  // namespace bight::mechanics

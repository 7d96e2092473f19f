// Springback of a bend before anyone has bent a trial: a first guess with an honest band.
#pragma once

#include <string>

#include "base/angle.h"
#include "base/result.h"
#include "stock/material.h"
#include "stock/section.h"

namespace bight::mechanics {

// Springback as a function of the LOADED (set) angle: S = proportional * set + constant, so
// set = (finished + constant) / (1 - proportional).
struct SpringbackPrior {
  double proportional_ratio = 0.0;
  base::Angle constant;
  double proportional_low_ratio = 0.0;
  double proportional_high_ratio = 0.0;
  base::Angle constant_low;
  base::Angle constant_high;
  std::string basis;   // what it was computed from, in a sentence
  std::string source;  // model and provenance of the material numbers

  base::Angle set_angle(base::Angle finished) const;
  base::Angle finished_angle(base::Angle set) const;
};

// First value by section integration with the metal's flow curve, release in two stages for tube;
// constant part a = (M/EI) * Le with Le one section height (an assumption: the elastic run-up to
// the tangent point, no source). The band is +-40 % of the proportional part and 0 to 2 a: not
// proven, bend a trial. Yield is never tuned to make up what theory misses.
// Failure codes: those of predict_bend() and stock::flow_curve().
base::Result<SpringbackPrior> first_springback(const stock::Section& section,
                                               const stock::Material& material,
                                               double die_radius_mm);

// The relative half-width of the band of an uncalibrated springback (0.40). Published analytic
// models missed measured springback of 6060-T6 tube by 14.2, 14.4 and 38.9 % on average
// (Science Progress 2020, doi 10.1177/0036850420984303, abstract).
inline constexpr double kUncalibratedSpringback_ratio = 0.40;

// Elastic-perfectly-plastic and bilinear closed forms live in closed_forms.h.

}  // namespace bight::mechanics

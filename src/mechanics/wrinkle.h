// When the inside of a bend wrinkles: plastic buckling of the compressed wall, and the trade's
// quotient beside it. Theory and its limits: docs/theory/wrinkling.md.
#pragma once

#include <string>

#include "base/result.h"
#include "mechanics/spread.h"
#include "stock/flow_curve.h"
#include "stock/section.h"

namespace bight::mechanics {

// Which way the compressed wall may move.
//   kFree      both ways: no tools
//   kOneSided  inward only: a grooved die behind it, nothing inside
enum class WallSupport { kFree, kOneSided };

// Onset of axisymmetric wrinkles of a long tube in compression.
struct WrinkleOnset {
  double strain_ratio = 0.0;  // compressive true strain at which wrinkles start
  double stress_mpa = 0.0;    // there
  double half_wave_mm = 0.0;  // crest to trough along the tube
};

// s(e) = f (t/r) sqrt((C11 C22 - C12²)/3) with the instantaneous moduli of deformation theory;
// f = 1 free, sqrt(3) one-sided. Elastic limit: E t/(r sqrt(3 (1 - nu²))). For a power law without
// elasticity: e = f (2/3) sqrt(n) t/r.
// A metal that never hardens wrinkles as soon as it yields.
// Failure codes: wrinkle.section (not a round tube, Poisson's ratio outside 0..0.5).
// Source: plastic buckling of cylinders, standard (Batterman 1965 as recalled); the closed form and
// the one-sided factor are derived in the theory page.
base::Result<WrinkleOnset> wrinkle_onset(const stock::Section& section,
                                         const stock::FlowCurve& curve, double poisson_ratio,
                                         WallSupport support);

enum class WrinkleVerdict {
  kNotExpected,   // below the theory's onset
  kToolsMustFit,  // above it, within what plain grooved tooling is known to bend
  kBeyondPlain,   // outside published plain bends: mandrel, and wiper if a hump stands
};

// The trade quotient (D/t) / (R/D): 10 at the published anchors t = D/20 at 2 D and t = D/30 at
// 3 D, 11.1 at t = D/50 and 4.5 D, precision steel tube.
// Source: mill handbook 2018, p. 90, Table 38, read.
inline constexpr double kPlainBendQuotient_ratio = 10.0;
inline constexpr double kPlainBendQuotientMost_ratio = 100.0 / 9.0;

struct WrinkleForecast {
  double strain_ratio = 0.0;    // of the inside, D/(2R)
  double quotient_ratio = 0.0;  // W/k, printed beside the theory
  RatioSpread onset;            // strain at which wrinkles start
  WrinkleVerdict verdict = WrinkleVerdict::kNotExpected;
  std::string message;
};

// Failure codes: wrinkle.section, wrinkle.radius (not above D/2 or not finite).
base::Result<WrinkleForecast> wrinkle_forecast(const stock::Section& section,
                                               const stock::FlowCurve& curve, double poisson_ratio,
                                               double clr_mm, WallSupport support);

// Smallest centreline radius whose inside strain D/(2R) stays at or below the onset. low_mm is the
// boldest reading of the spread, high_mm the safe one. Failure codes: wrinkle.section.
base::Result<LengthSpread> smallest_clr_without_wrinkles_mm(const stock::Section& section,
                                                            const stock::FlowCurve& curve,
                                                            double poisson_ratio,
                                                            WallSupport support);

}  // namespace bight::mechanics

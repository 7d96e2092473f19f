// Whether the outside of a bend will crack: its strain against what the metal stretches in a
// tensile test.
#pragma once

#include <optional>
#include <string>

#include "base/result.h"
#include "mechanics/spread.h"
#include "stock/flow_curve.h"
#include "stock/section.h"

namespace bight::mechanics {

// Engineering strain of the outermost fibre, three ways of reckoning it.
struct OuterStrain {
  double plain_ratio = 0.0;    // c / R: centreline unstretched; D/(2R) of the trade for tube
  double shifted_ratio = 0.0;  // neutral layer moved inward: the centreline stretches as well
  RatioSpread spread;          // mid-wall for tube, plain, shifted
};

// R to the centreline, c half the height in the plane of bending (open sections: outermost and
// innermost fibre from the centroid), r the mean radius of a tube.
//   tube: shifted = (R + r)/sqrt(R² - r²) - 1 (rigid-plastic, docs/theory of the bending engine)
//   bar:  shifted = sqrt((R + c)/(R - c)) - 1 (neutral radius sqrt(ri ro), wide plate; recalled,
//         unconfirmed)
// Failure codes: fracture.radius (not above c or not finite).
// Source: plain form, trade formula sheet and a bending shop's page, both read.
base::Result<OuterStrain> outer_strain(const stock::Section& section, double clr_mm);

// Engineering strain at the load maximum of the tensile test that the curve implies (Considère's
// condition: slope of the flow curve equals the stress). 0 when the curve never hardens enough.
double uniform_elongation_ratio(const stock::FlowCurve& curve);

enum class CrackVerdict {
  kWithin,   // below uniform elongation
  kCaution,  // likely above uniform elongation
  kStop,     // the whole band above total elongation
};

struct CrackForecast {
  OuterStrain strain;
  double uniform_ratio = 0.0;         // caution above this
  std::optional<double> total_ratio;  // absent when nobody knows it
  CrackVerdict verdict = CrackVerdict::kWithin;
  std::string message;
};

// Compares the strain with the metal: likely above uniform elongation is a caution, and only when
// all three ways of reckoning lie above the total elongation is it a stop. The shifted variant only
// ever turns kWithin into kCaution. A bend localises less than a tensile bar, so strain above the
// total elongation is not certain fracture (common practice); a trial bend decides.
// elongation_ratio: total elongation A of the metal, if known.
// Failure codes: fracture.radius, fracture.elongation (not within (0, 2)).
base::Result<CrackForecast> crack_forecast(const stock::Section& section,
                                           const stock::FlowCurve& curve,
                                           std::optional<double> elongation_ratio, double clr_mm);

// Smallest centreline radius whose plain outer strain stays within a strain: c / strain.
// Failure codes: fracture.elongation.
base::Result<double> smallest_clr_for_strain_mm(const stock::Section& section, double strain_ratio);

// Centreline radius at which the outer fibre reaches a strain limit such as the yield strain: bent
// wider it springs back fully. The same c / strain; kept by name because it answers another
// question. Failure codes: fracture.elongation.
base::Result<double> elastic_clr_mm(const stock::Section& section, double yield_strain_ratio);

// A bar or section given by the INSIDE radius of its bend, as flat and section are ordered: strain
// of the outside, c / (inside radius + c), bent as it stands and turned by 90°.
struct WayStrains {
  double as_given_ratio = 0.0;
  double turned_ratio = 0.0;
  bool as_given_is_hard = false;  // the hard way is the one that stretches more
};
// Failure codes: fracture.radius (inside radius negative or not finite).
base::Result<WayStrains> way_strains(const stock::Section& section, double inside_radius_mm);

}  // namespace bight::mechanics

// How far out of round a bend will be, and when its section collapses instead.
//
// Free bending follows from energy (docs/theory/ovality.md). A bend in tools is bounded: by the
// groove that holds its inner half, and by the mandrel's play. What a mandrel bend really does is
// not predictable from first principles; measure the first one.
#pragma once

#include <array>
#include <optional>
#include <string>

#include "base/result.h"
#include "mechanics/flattening_path.h"
#include "mechanics/spread.h"
#include "stock/flow_curve.h"
#include "stock/section.h"

namespace bight::mechanics {

// Elastic collapse of a long thin tube, exact in Brazier's theory.
struct BrazierLimit {
  double curvature_per_mm = 0.0;  // kappa_B = (t / (r² sqrt(1 - nu²))) sqrt(2/9)
  double moment_nmm = 0.0;        // M_B = (2 sqrt(2) pi / 9) E r t² / sqrt(1 - nu²)
  double amplitude_ratio = 0.0;   // zeta = 2/9; u1 = 2 zeta
};

// Failure codes: ovality.section (not a tube, or a modulus or Poisson's ratio out of range).
// Source: Brazier 1927, standard result.
base::Result<BrazierLimit> brazier_limit(double mean_radius_mm, double wall_mm, double youngs_mpa,
                                         double poisson_ratio);

// Delivered walls lie within this of nominal. Source: EN 10305-1, wall ±10 % (mill handbook 2018,
// p. 62, read).
inline constexpr double kWallTolerance_ratio = 0.10;

// The bend asked about: a round tube and its centreline radius.
struct OvalityCase {
  stock::Section section;
  stock::FlowCurve curve;
  double poisson_ratio = 0.3;
  double clr_mm = 0.0;
};

// What holds the section. Plays are on the diameter.
struct BendSupport {
  double groove_play_mm = 0.0;    // groove width less outside diameter
  std::optional<double> nose_mm;  // mandrel nose diameter, when one is used
  bool balls = false;             // the mandrel follows into the bend
};

enum class SectionFate { kHolds, kMayCollapse, kCollapses };

// of_nominal is u1 = (Dmax - Dmin)/D under load. It is absent when the section collapses, or may:
// a number would mean nothing then.
struct OvalityForecast {
  SectionFate fate = SectionFate::kHolds;
  std::optional<RatioSpread> of_nominal;
  std::string message;       // a sentence for the sheet
  std::string beyond_range;  // why the theory is stretched here; empty when it is not
};

// No tools at all: four-point bending, hand bending over a knee, three-roll bending with plain
// rolls. Low and high are the delivered wall's tolerance.
// Failure codes: ovality.section (not a round tube), ovality.radius (below D/2 or not finite).
base::Result<OvalityForecast> free_ovality(const OvalityCase& bend);

// What a slider asks: the same forecasts for one section and metal on any radius, the way to
// collapse worked out once for the thick, nominal and thin wall (tens of milliseconds); a forecast
// then takes less than a microsecond. Against the forecasts one by one: ovality within 1.5 % of
// itself, collapse radius within 0.1 % (FlatteningPath).
class OvalityCurves {
 public:
  // What the section is bent with decides which forecast it can give: nothing (kFree) or a groove
  // (kCradled). The radius of the case is not used.
  // Failure codes: ovality.section (not a round tube).
  static base::Result<OvalityCurves> make(const OvalityCase& bend, FlatteningMode mode);

  // As free_ovality() for kFree, or supported_ovality() with no play and no mandrel for kCradled.
  // Failure codes: ovality.radius.
  base::Result<OvalityForecast> at(double clr_mm) const;
  // As supported_ovality(). Failure codes: ovality.radius, ovality.support (also curves of a free
  // tube).
  base::Result<OvalityForecast> at(double clr_mm, const BendSupport& support) const;
  // As collapse_clr_mm().
  LengthSpread collapse_clr_mm() const;

 private:
  OvalityCurves(const OvalityCase& bend, FlatteningMode mode);

  OvalityCase bend_;
  FlatteningMode mode_;
  std::array<FlatteningPath, 3> paths_;  // thick, nominal and thin wall
};

// In a grooved die, with or without a mandrel.
//   no mandrel:    the cradled outer half flattens; high adds the groove's play
//   plug mandrel:  between the mandrel's play and the cradled half, because the wall flattens again
//                  beyond the nose
//   with balls:    no more than mandrel and groove play together
// Failure codes: ovality.section, ovality.radius, ovality.support (play negative, or a nose that
// does not fit the bore).
base::Result<OvalityForecast> supported_ovality(const OvalityCase& bend,
                                                const BendSupport& support);

// Centreline radius below which the section collapses; low_mm for the thickest delivered wall,
// high_mm for the thinnest. 0 when it never does.
// Failure codes: ovality.section.
base::Result<LengthSpread> collapse_clr_mm(const OvalityCase& bend, FlatteningMode mode);

// Smallest centreline radius whose ovality u1 stays within a limit (clr_mm of the case is unused):
// likely_mm for the nominal wall, high_mm safe for the thinnest delivered wall.
// Failure codes: ovality.section, ovality.support, ovality.limit (not within (0, 1), or less than
// the tools' own play).
base::Result<LengthSpread> smallest_clr_for_ovality_mm(const OvalityCase& bend,
                                                       const std::optional<BendSupport>& support,
                                                       double of_nominal_limit_ratio);

}  // namespace bight::mechanics

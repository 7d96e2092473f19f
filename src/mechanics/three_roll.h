// Pyramid three-roll bending: where the top roll must stand for a released radius, from the
// section's moment-curvature law and not from the geometry of a circle.
//
// The moment runs from zero at a bottom roll to its greatest value at the top roll. On the way in
// the bar follows its loading law, so it is nearly straight until close to the top roll; on the
// way out it unloads elastically and already has nearly its final radius. Theory, symbols and a
// worked example: docs/theory/three_roll.md.
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "base/angle.h"
#include "base/result.h"
#include "mechanics/spread.h"
#include "stock/flow_curve.h"
#include "stock/section.h"

namespace bight::mechanics {

// The rolls. Both bottom rolls are alike and level; the top roll moves on the line between them.
struct RollMachine {
  double bottom_spacing_mm = 0.0;  // 2a, centre to centre
  double bottom_diameter_mm = 0.0;
  double top_diameter_mm = 0.0;
};

// The bar as the rolls feel it. moment_nmm(kappa_per_mm) is the virgin loading law of the section:
// odd, rising, never steeper than stiffness_nmm2 (E I), through the origin.
struct RollBar {
  double depth_mm = 0.0;        // h, outside size in the plane of bending
  double stiffness_nmm2 = 0.0;  // E I
  std::function<double(double)> moment_nmm;
  // From the line whose radius is meant (the centroid) to the side of the top roll; absent: h/2.
  std::optional<double> inner_mm = {};

  double to_top_roll_mm() const { return inner_mm.value_or(depth_mm / 2); }
  double to_bottom_roll_mm() const { return depth_mm - to_top_roll_mm(); }
};

// The bar made of a section (bent in the plane of its height) and a flow curve. Plane sections,
// section kept: gentle curvature only.
RollBar roll_bar(const stock::Section& section, const stock::FlowCurve& curve);

// One pass at one position of the top roll. Radii are to the centreline of the section.
struct RollPass {
  double position_mm = 0.0;      // u, travel of the top roll from just touching a straight bar
  double loaded_clr_mm = 0.0;    // under the top roll
  double released_clr_mm = 0.0;  // after the rolls; infinity when the bar stays elastic
  LengthSpread released_band;    // released_clr_mm with the published disagreement of such models
  double moment_nmm = 0.0;       // greatest, at the top roll
  double entry_force_n = 0.0;    // normal to the bar at the entry-side bottom roll
  double exit_force_n = 0.0;
  double top_force_n = 0.0;
  double entry_arm_mm = 0.0;  // lever arm of entry_force_n about the top contact
  double exit_arm_mm = 0.0;
  base::Angle entry_slope;  // of the bar at the bottom contact against the top contact
  base::Angle exit_slope;
  double flat_mm = 0.0;  // straight left at each end unless pre-bent, about half spacing
};

// Offset of the bottom contacts from the tangent at the top contact, to first order in the slope,
// for a half spacing a. Their mean is the travel that an ideal machine with knife edges needs.
struct RollDeflection {
  double entry_mm = 0.0;
  double exit_mm = 0.0;
  double mean_mm() const { return (entry_mm + exit_mm) / 2; }
};

// Published analytic three-roller models and the finite-element result differ by about this much
// in released radius. Source: Int. J. Adv. Manuf. Technol. 2019,
// doi 10.1007/s00170-019-04183-2 (abstract read).
inline constexpr double kRolledRadiusBand_ratio = 0.15;

// Radius under load that springs back to a released radius: 1/Rf = 1/Ri - M(1/Ri)/(E I).
// Failure codes: roll.bar (law or stiffness unusable), roll.radius (not positive and finite).
base::Result<double> loaded_clr_mm(const RollBar& bar, double released_clr_mm);

// Travel for a constant-curvature arc of loaded radius R: plane geometry only. It asks for far
// too much feed (see docs/theory/three_roll.md); kept as the trade's figure for comparison.
// Failure codes: roll.machine, roll.bar (no depth), roll.radius (the arc does not reach both bottom
// rolls).
base::Result<double> circle_travel_mm(const RollMachine& machine, const RollBar& bar,
                                      double loaded_clr_mm);

// First-order deflections for a loaded radius; incoming_clr_mm is the bar's radius before the
// pass, absent for straight stock. Failure codes: roll.machine, roll.bar, roll.radius.
base::Result<RollDeflection> roll_deflection(const RollMachine& machine, const RollBar& bar,
                                             double loaded_clr_mm,
                                             std::optional<double> incoming_clr_mm);

// The pass that leaves a released radius, contact points on the real rolls and slopes not small.
// Failure codes: roll.machine, roll.bar, roll.radius (target below the top roll, or wider than
// the incoming radius: rolls cannot open a ring), roll.no-solution (the bar would leave the rolls).
base::Result<RollPass> roll_to_radius(const RollMachine& machine, const RollBar& bar,
                                      double released_clr_mm,
                                      std::optional<double> incoming_clr_mm);

// What a pass at a position leaves. A position within the elastic range leaves the incoming
// radius. Failure codes as roll_to_radius, and roll.position (not past touching the bar).
base::Result<RollPass> roll_at_position(const RollMachine& machine, const RollBar& bar,
                                        double position_mm, std::optional<double> incoming_clr_mm);

// Passes in equal steps of released curvature, from straight stock or from the radius the bar
// already has, to a released radius. The number of passes is the setter's choice: no published rule
// was found. A pass repeated at an unchanged position does nothing in this model: the bar that
// comes back bent no longer touches the top roll. Failure codes as roll_to_radius, and roll.passes
// (not 1..50).
base::Result<std::vector<RollPass>> plan_passes(const RollMachine& machine, const RollBar& bar,
                                                double released_clr_mm, int num_passes,
                                                std::optional<double> incoming_clr_mm = {});

}  // namespace bight::mechanics

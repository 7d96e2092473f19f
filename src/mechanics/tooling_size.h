// Sizes of rotary-draw tooling by published formulas: mandrel nose and its advance, wiper edge,
// clamp and pressure die. Start values for the setter; the tooling maker's own drawing governs.
#pragma once

#include "base/angle.h"
#include "base/result.h"

namespace bight::mechanics {

// One tube on one radius; the inputs every formula here shares.
struct BendSize {
  double od_mm = 0.0;    // T of the formula sheet
  double wall_mm = 0.0;  // W of the formula sheet
  double clr_mm = 0.0;   // R, bend radius of the tooling to centreline
};

// Mandrel nose diameter Md = T - 2.21 W: bore less a clearance of 0.21 W on the diameter [mm].
// Failure codes: tooling.size (not a tube, or the wall too thick for any nose).
// Source: trade formula sheet (address withheld), VERIFIED.
base::Result<double> mandrel_nose_mm(double od_mm, double wall_mm);

// The same for tube inside tube: Md = (T - 2 Wo) - 2.21 Wi, Wo outer wall, Wi inner wall [mm].
// Failure codes: tooling.size. Source: same sheet, VERIFIED.
base::Result<double> double_wall_mandrel_nose_mm(double od_mm, double outer_wall_mm,
                                                 double inner_wall_mm);

// How far the nose may and should stand ahead of the tangent line.
struct NoseAdvance {
  double nose_mm = 0.0;         // Md
  double deepest_mm = 0.0;      // S: the outboard line of the mandrel touches the tube wall
  double recommended_mm = 0.0;  // two thirds of S, nose radius not counted
};

// S = sqrt((R + T/2 - W)² - (R + Md/2)²), measured from the tangent line to the end of the
// mandrel's straight flank (the nose radius lies beyond it).
// Failure codes: tooling.size.
// Source: principle and the two-thirds rule, trade encyclopaedia, VERIFIED; expression DERIVED.
base::Result<NoseAdvance> nose_advance(const BendSize& size);

// Start value by outside diameter alone: front edge of the mandrel body (balls not counted, nose
// radius included) ahead of the tangent line [mm]. The table's rows are whole millimetres, so the
// diameter is rounded to the nearest one, halves up.
// Failure codes: tooling.advance-range (rounded diameter outside 6..152 mm).
// Source: tooling maker's page (address withheld), VERIFIED.
base::Result<double> table_advance_mm(double od_mm);

// Feathered edge of the wiper, E = 0.004 T but not below 0.15 mm [mm].
// Failure codes: tooling.size. Source: trade formula sheet, VERIFIED (0.006 in floor).
base::Result<double> wiper_edge_mm(double od_mm);

// Smooth clamp length, 2 T [mm]. Tight radii want more; less only with a serrated or coated
// grip, which marks the tube. Failure codes: tooling.size. Source: trade note, VERIFIED.
base::Result<double> clamp_length_mm(double od_mm);

// Pressure-die length for the longest bend: R B + Kr T [mm], Kr = 2.
// Failure codes: tooling.size, tooling.angle (not above 0° or above 360°).
// Source: form recalled, not read (unconfirmed); Kr from the formula sheet, VERIFIED.
base::Result<double> pressure_die_length_mm(const BendSize& size, base::Angle longest_bend);

}  // namespace bight::mechanics

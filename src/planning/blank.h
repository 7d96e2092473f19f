// The straight piece as cut, and where each bend starts on it.
#pragma once

#include <vector>

#include "planning/known_springback.h"
#include "planning/plan.h"
#include "stock/section.h"

namespace bight::planning {

struct BlankRequest {
  const geometry::BendTable& bent;  // radii after release, from end A
  const stock::Section& section;
  const part::PartEnd& end_a;
  const part::PartEnd& end_b;
  std::vector<const workshop::DieSet*> die_of_bend;   // beside bent.rows()
  std::vector<const KnownSpringback*> known_of_bend;  // beside bent.rows()
  const workshop::Bender& bender;
  BendOrder order;     // every bend once; or none: long enough for any order
  End from = End::kA;  // clamped first where there is no order
};

struct LaidOut {
  Blank blank;
  std::vector<double> arc_mm;     // blank used by each bend, from end A
  std::vector<double> start_mm;   // tangent point nearer end A, from end A of the blank
  std::vector<double> finish_mm;  // tangent point nearer end B, from end A of the blank
};

// Cut length with its bracket, allowances, and tangent points along the blank.
//
// cut = straights + arcs + grip + trim. An arc uses arc_ratio * R * angle, the ratio measured on
// trial bends; without any, between angle * sqrt(R² - r²) (rigid-plastic thin tube whose neutral
// layer shifts by r²/R; derived, the most a tube can stretch by itself) and R * angle (no
// stretch). The likely value without proof is no stretch: too long can be trimmed.
// r is the mean tube radius; for bar and box the half height stands in, which no source confirms.
//
// Grip: the clamp needs its length ahead of a bend, the pressure die or collet a tail behind it, up
// to the next bend that is made by then or to the end. Where that is the end, what its straights
// and trim do not give is added there. Worked along the part from one end, that is the clamp ahead
// of the first bend and the tail behind the last one.
LaidOut lay_out_blank(const BlankRequest& request);

// Straight that must remain behind the last bend: the die's own figure, else the pressure die less
// the bend's arc but at least one tube size (trade press asks 2 to 4 sizes at an end; common
// practice, no source); a carriage-fed bender's collet grip comes on top.
double tail_needed_mm(const workshop::DieSet& die, const workshop::Bender& bender,
                      const stock::Section& section, double arc_mm);

}  // namespace bight::planning

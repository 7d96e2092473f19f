// A ring or curve on the three-roll bender: positions, passes, cut length, what speaks against it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "mechanics/fracture.h"
#include "mechanics/ovality.h"
#include "mechanics/ring_cut.h"
#include "mechanics/roll_log.h"
#include "mechanics/three_roll.h"
#include "part/finding.h"
#include "stock/material.h"
#include "stock/section.h"

namespace bight::planning {

struct RollJob {
  stock::Section section;  // height in the plane of bending
  stock::Material material;
  // Target and logged radii are all measured to the same line of the section.
  double radius_mm = 0.0;
  mechanics::RingMeasure measure = mechanics::RingMeasure::kCentreline;
  bool ring = false;  // a closed ring, to be cut to length

  std::optional<mechanics::RollMachine> machine;  // absent: only the log and the cut are worked out
  int num_passes = 4;                             // still to come
  std::vector<mechanics::LoggedPass> log;         // passes already made on this bar, in order
  std::optional<double> touch_mm;  // reading at which the top roll just touches the straight bar

  double flats_mm = 0.0;  // trimmed off, both ends together
  std::optional<double> stick_mm;
  double kerf_mm = 3.0;
};

// One planned pass; the reading is there when the machine's scale is known.
struct PlannedPass {
  mechanics::RollPass pass;
  std::optional<double> reading_mm;
};

struct RollPlan {
  double centreline_mm = 0.0;  // target radius to the centreline
  std::string metal;           // flow curve used, in words
  std::optional<double> loaded_clr_mm;
  std::vector<PlannedPass> passes;
  std::optional<double> circle_travel_mm;  // what plane geometry would ask, for comparison
  std::optional<mechanics::MachineScale> scale;
  std::optional<mechanics::NextPass> next;
  std::optional<mechanics::RingCut> ring;
  std::optional<int> pieces;
  std::optional<mechanics::WayStrains> ways;  // of all stock that is not round
  std::vector<part::Finding> findings;
};

// Works the job out as far as its facts allow.
// Failure codes: ring.measure (the measured line not said), roll.* and ring.* of the mechanics
// room, flow.* of the metal.
base::Result<RollPlan> plan_roll(const RollJob& job);

}  // namespace bight::planning

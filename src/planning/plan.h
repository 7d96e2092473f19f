// The plan: how one part is made with what the workshop owns.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/angle.h"
#include "clearance/step_clearance.h"
#include "part/finding.h"
#include "part/part.h"
#include "planning/metal.h"
#include "planning/work_order.h"
#include "rules/rule_check.h"
#include "workshop/shop.h"

namespace bight::planning {

// A number with the interval it lies in, low <= likely <= high.
struct AngleBand {
  base::Angle low, likely, high;
};
struct LengthBand {
  double low_mm = 0.0, likely_mm = 0.0, high_mm = 0.0;
};

// Springback of one die set with this tube: lost angle = constant + proportional * set angle.
struct SpringbackLaw {
  base::Angle constant;             // a
  double proportional_ratio = 0.0;  // b
  std::string basis;                // what it rests on, in words
  bool proven = false;              // two or more trial bends at different angles
};

// Where the bend lies seen from its mark.
enum class MarkSide { kTowardsB, kTowardsA };

// What was found when a step was compared with machine, room and the tube itself.
struct StepClearing {
  clearance::StepClearance clearance;    // certified distances
  std::vector<clearance::Limit> limits;  // broken ones of a carriage
  double low_mm = 0.0;                   // never nearer to anything; at most kInterest_mm

  bool stops() const { return clearance.hit() || !limits.empty(); }
  // The tighter of the two; none when nothing comes within kInterest_mm.
  const std::optional<clearance::Nearest>& nearest() const;
};
// Further off is as good as nothing there.
inline constexpr double kInterest_mm = 1000.0;

// One bend as it is made, in the order of working.
struct Step {
  std::size_t bend = 0;  // 1-based, counted from end A of the part
  std::string die;
  End front = End::kA;          // goes ahead through the clamp and swings
  bool flipped = false;         // the tube is turned end for end before this step
  double mark_mm = 0.0;         // from end A of the blank to where the die's tangent point goes
  double mark_from_b_mm = 0.0;  // the same mark from end B
  MarkSide side = MarkSide::kTowardsB;
  std::optional<double> die_mark_mm;  // from end A to the die's own reference mark, once proven
  // Straight of the part on either side of the bend, up to the next bend that is made or to the
  // end; what is not yet bent is straight. Grip and trim of the blank come on top.
  double straight_mm = 0.0;  // ahead: the clamp takes it
  double tail_mm = 0.0;      // behind: for pressure die and collet
  // By this bender's sign, from the position in which the bend `rotation_from` lies flat with its
  // inside towards the die. That is a neighbour that is made, so that all between is straight: the
  // bend made before where it is one. Nothing for the first step.
  base::Angle rotation;
  std::optional<std::size_t> rotation_from;  // 1-based
  // The wheel is set to its zero in that position, else it goes on from the step before.
  bool wheel_reset = false;
  base::Angle wheel;    // absolute reading on the degree wheel
  base::Angle angle;    // wanted, finished
  AngleBand set_angle;  // keyed in
  double arc_mm = 0.0;  // blank used by the bend
  double radius_after_release_mm = 0.0;
  double torque_nmm = 0.0;               // likely, at the die
  std::optional<double> speed_max_rpm;   // what bender and stock allow
  clearance::Step movement;              // the same for the clearance room
  std::optional<StepClearing> clearing;  // absent where it was not compared
};

struct Blank {
  LengthBand cut;
  double grip_front_mm = 0.0;   // added at the end that is clamped first
  double grip_back_mm = 0.0;    // added at the other
  bool front_for_clamp = true;  // else for pressure die or collet: whichever needs more there
  bool back_for_clamp = false;
  double trim_front_mm = 0.0;  // spare of the drawing, cut off with the grip
  double trim_back_mm = 0.0;
  End front = End::kA;
  bool proven = false;  // the stretch was measured on a bend of this tube and die
  std::string basis;
};

// Where the weld seam goes: clock position seen along the tube from end A with the outside of a
// bend at 12 o'clock, the one that is made first: then nothing else tells how the tube lies.
struct Seam {
  std::size_t bend = 1;     // 1-based
  base::Angle clock;        // clockwise from 12 o'clock
  base::Angle off_neutral;  // furthest any bend's seam lies from its neutral side
  std::string text;         // "7:30"
};

// A number that another is worked out from.
struct Term {
  std::string symbol;   // in the formula
  std::string meaning;  // in words
  double value = 0.0;
  std::string unit;  // "mm", "deg"; empty for a ratio
};

// Something a tape can reach on the finished part.
struct CheckDimension {
  std::string label;
  double value_mm = 0.0;
  std::string formula;  // of the terms' symbols, in their units: gives the value
  std::vector<Term> terms;
};

struct UsedDie {
  workshop::DieSet die;
  SpringbackLaw law;
  double radius_after_release_mm = 0.0;
};

struct Plan {
  part::Part part;                 // as drawn
  geometry::BendTable bent_table;  // with the radii the part will really have
  std::optional<workshop::Bender> bender;
  std::vector<UsedDie> dies;            // in order of first use
  End from = End::kA;                   // goes ahead in the first step
  std::vector<Step> steps;              // empty when no die could be found
  WorkOrder order;                      // the steps' own, summed up
  std::vector<WorkOrder> alternatives;  // other orders worth a look, the best first
  Blank blank;
  std::vector<MetalForecast> metal;           // beside dies
  std::vector<rules::RuleCheck> rule_checks;  // what the part's rules say, worst bend of each
  std::optional<Seam> seam;
  std::vector<CheckDimension> checks;
  double mass_kg = 0.0;  // of the blank
  std::vector<part::Finding> findings;
};

}  // namespace bight::planning

// What is asked of an order of bends, and what an answer costs.
#pragma once

#include <compare>
#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "clearance/step_clearance.h"

namespace bight::ordering {

using clearance::Front;
using clearance::MadeBends;

// Those before one in the bend table.
inline MadeBends bends_below(std::size_t bend) { return (MadeBends{1} << bend) - 1; }

// A die that may make a bend, and the straights that it needs there.
struct BendTool {
  std::size_t die = 0;    // into Problem::dies
  double clamp_mm = 0.0;  // ahead of the bend, for the clamp
  double tail_mm = 0.0;   // behind it, for pressure die and collet
};

// One tube on one bender. `tube` is as long as any order needs it: the ends hold the grips.
struct Problem {
  workshop::Bender bender;
  std::vector<workshop::DieSet> dies;
  clearance::Tube tube;
  std::vector<std::vector<BendTool>> tools;  // beside tube.bends, at least one each
  Front first = Front::kEndA;                // goes ahead first when nothing else decides

  // Failure codes: ordering.problem (more than kMostBends bends, a bend without a die, a die that
  // is not there), ordering.rolled (a three-roll bender has no steps), those of
  // clearance::StepChecker::make.
  base::Status valid() const;
};
inline constexpr std::size_t kMostBends = 32;

// What counts as clear and as work. Common practice, no source.
struct Agreed {
  double margin_mm = 20.0;       // to everything; more is as good
  double margin_step_mm = 5.0;   // less is told apart in steps of this
  double turn_step_deg = 15.0;   // handling counts one for each begun
  double carry_step_mm = 500.0;  // and one for each full length the tube is moved along by
  double tape_leg_mm = 50.0;     // straight beside a bend that a tape or protractor needs
};

// One bend as it is placed in the bender.
struct Placed {
  std::size_t bend = 0;  // into Tube::bends
  Front front = Front::kEndA;
  std::size_t tool = 0;     // into Problem::tools[bend]
  base::Angle turn;         // turned by this in the bender (carriage-fed); else brought so
  double advance_mm = 0.0;  // pushed on by this in the bender (carriage-fed)

  friend bool operator==(const Placed&, const Placed&) = default;
};
using Sequence = std::vector<Placed>;

// What an order costs, the weightiest first; compared from the top.
struct Cost {
  std::uint32_t stops = 0;         // steps that hit, or whose clamp or tail finds no straight
  std::uint32_t margin_class = 0;  // the tightest step: 0 has the agreed margin, else steps short
  std::uint32_t flips = 0;         // end for end
  std::uint32_t die_changes = 0;
  std::uint32_t handling = 0;    // turning and carrying, see Agreed
  std::uint32_t unmeasured = 0;  // bends that a tape cannot reach when they are made
  std::uint32_t outward = 0;     // pairs of bends of which the one nearer an end comes first
  std::uint32_t other_end = 0;   // 1: not Problem::first goes ahead first

  friend auto operator<=>(const Cost&, const Cost&) = default;
};

// How much work a search may be. Counted, not timed: the same question gets the same answer.
struct Effort {
  std::size_t num_checks_max = 400'000;    // clearance checks
  std::size_t num_states_max = 4'000'000;  // states of the search
  // Asked now and then; true ends the search with what it has. May be empty.
  std::function<bool()> cancelled;
  // Told now and then how much of the allowed work is done, 0..1. May be empty.
  std::function<void(double)> progress;
};

}  // namespace bight::ordering

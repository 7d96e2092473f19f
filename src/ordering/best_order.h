// In what order and from which end a part is bent, and how good another order would be.
#pragma once

#include <optional>
#include <vector>

#include "ordering/order_search.h"

namespace bight::ordering {

// One step of an order, looked at closely.
struct StepReport {
  Placed placed;
  MadeBends made = 0;  // before it
  clearance::StepClearance clearance;
  std::vector<clearance::Limit> limits;  // broken ones
  Straight ahead, behind;
  double clamp_mm = 0.0;  // needed ahead
  double tail_mm = 0.0;   // needed behind
  std::size_t die = 0;    // into Problem::dies
  bool flipped = false;   // end for end before this step
  bool die_changed = false;
  bool measurable = true;  // a tape finds both legs of the bend now

  bool clamp_fits() const { return ahead.length_mm >= clamp_mm - 1e-6; }
  bool tail_fits() const { return behind.length_mm >= tail_mm - 1e-6; }
  bool stops() const { return clearance.hit() || !limits.empty() || !clamp_fits() || !tail_fits(); }
};

struct Order {
  std::vector<StepReport> steps;
  Cost cost;
  double low_mm = 0.0;  // certified: never nearer to anything in any step; at most kInterest_mm

  bool works() const { return cost.stops == 0; }
  Sequence sequence() const;
};
inline constexpr double kInterest_mm = 1000.0;

// An order given by somebody, with certified distances of every step.
// Pre: each bend once, tools within Problem::tools. Failure codes: those of Problem::valid and
// clearance::StepChecker::make.
base::Result<Order> judge(const Problem& problem, const Agreed& agreed, const Sequence& sequence);

// The bends along the tube with this end ahead in every step, each with its first die, as a
// carriage-fed bender works and as drawings are read. Carriage-fed: with feed and the shorter turn.
Sequence drawing_order(const Problem& problem, const StepRules& rules, Front front);

// Bends in this order with these ends ahead, each with its first die. Carriage-fed: with feed and
// the shorter turn. A front left open is Problem::first.
Sequence as_given(const Problem& problem, const StepRules& rules, const std::vector<Fixed>& order);

struct Answer {
  Order best;
  bool proven = false;         // nothing allowed costs less
  Cost bound;                  // nothing allowed costs less than this
  std::vector<Order> others;   // worth a look, ranked by cost; none equal to best
  std::size_t num_checks = 0;  // steps whose clearance was asked for by the search
};

struct AnswerOptions {
  Agreed agreed;
  Effort effort;
  bool others = true;  // both drawing orders, and the best with each end first and throughout
  // Not empty: the bends are made in this order, and only ends and dies are chosen. The best of all
  // orders is then one of the others. Each bend once.
  std::vector<Fixed> given;
};

// The best order. There is always one; Order::works says whether it does. Failure codes: those of
// Problem::valid and clearance::StepChecker::make, ordering.cancelled.
base::Result<Answer> best_order(const Problem& problem, const AnswerOptions& options = {});

}  // namespace bight::ordering

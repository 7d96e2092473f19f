#include "ordering/best_order.h"

#include <algorithm>

#include "ordering/carriage_order.h"

namespace bight::ordering {

using workshop::BenderKind;

Sequence Order::sequence() const {
  Sequence out;
  for (const StepReport& step : steps) out.push_back(step.placed);
  return out;
}

Sequence as_given(const Problem& problem, const StepRules& rules, const std::vector<Fixed>& order) {
  const bool fed = problem.bender.kind == BenderKind::kCarriageFed;
  Sequence out;
  MadeBends made = 0;
  for (const Fixed& fixed : order) {
    Placed placed;
    placed.bend = fixed.bend;
    placed.front = fixed.front.value_or(problem.first);
    if (fed && !out.empty()) {
      placed.turn = rules.turned(out.back().bend, placed.bend, placed.front);
      placed.advance_mm = std::max(0.0, rules.ahead(placed.bend, made, placed.front).length_mm);
    }
    out.push_back(placed);
    made |= MadeBends{1} << placed.bend;
  }
  return out;
}

Sequence drawing_order(const Problem& problem, const StepRules& rules, Front front) {
  const std::size_t n = problem.tube.bends.size();
  std::vector<Fixed> order;
  for (std::size_t k = 0; k < n; ++k) {
    order.push_back({front == Front::kEndA ? k : n - 1 - k, front});
  }
  return as_given(problem, rules, order);
}

namespace {

Order judged(const Problem& problem, const Agreed& agreed, const StepRules& rules,
             Checkers& checkers, const Sequence& sequence) {
  Order order;
  order.low_mm = kInterest_mm;
  order.cost = cost_without_bodies(problem, rules, sequence);
  order.cost.stops = 0;
  MadeBends made = 0;
  for (std::size_t k = 0; k < sequence.size(); ++k) {
    StepReport step;
    step.placed = sequence[k];
    step.made = made;
    const Placed& p = step.placed;
    const BendTool& tool = problem.tools[p.bend][p.tool];
    step.die = tool.die;
    step.clamp_mm = tool.clamp_mm;
    step.tail_mm = tool.tail_mm;
    step.ahead = rules.ahead(p.bend, made, p.front);
    step.behind = rules.behind(p.bend, made, p.front);
    step.measurable = rules.measurable(p.bend, made);
    step.clearance = checkers.check(problem, p, made);
    step.limits = checkers.limits(problem, p, made);
    if (k > 0) {
      step.flipped = order.steps.back().placed.front != p.front;
      step.die_changed = order.steps.back().die != step.die;
    }
    const double low_mm = step.clearance.low_mm(kInterest_mm);
    order.low_mm = std::min(order.low_mm, low_mm);
    if (step.stops()) ++order.cost.stops;
    made |= MadeBends{1} << p.bend;
    order.steps.push_back(std::move(step));
  }
  if (order.works()) order.cost.margin_class = margin_class_of(order.low_mm, agreed);
  return order;
}

// The other orders that somebody might think of.
std::vector<Sequence> candidates(const Problem& problem, const StepRules& rules,
                                 OrderSearch& search) {
  const Front second = problem.first == Front::kEndA ? Front::kEndB : Front::kEndA;
  std::vector<Sequence> out;
  for (const Front front : {problem.first, second}) {
    out.push_back(drawing_order(problem, rules, front));
    out.push_back(search.run({.all = {}, .first = front, .order = {}}).sequence);
    out.push_back(search.run({.all = front, .first = {}, .order = {}}).sequence);
  }
  return out;
}

// Of the two orders of a carriage the one that is given, or the better; where the given one is
// neither, it with the shorter turns.
Sequence taken(const Problem& problem, const StepRules& rules, const std::vector<Sequence>& both,
               const std::vector<Fixed>& given) {
  if (given.empty()) return both.front();
  for (const Sequence& one : both) {
    bool same = true;
    for (std::size_t k = 0; k < given.size(); ++k) {
      same = same && one[k].bend == given[k].bend &&
             one[k].front == given[k].front.value_or(one[k].front);
    }
    if (same) return one;
  }
  return as_given(problem, rules, given);
}

}  // namespace

base::Result<Order> judge(const Problem& problem, const Agreed& agreed, const Sequence& sequence) {
  BIGHT_TRY(const base::Done sound, problem.valid());
  static_cast<void>(sound);
  clearance::ClearanceOptions options;
  options.interest_mm = kInterest_mm;
  BIGHT_TRY(Checkers checkers, Checkers::make(problem, options));
  const StepRules rules(problem, agreed);
  return judged(problem, agreed, rules, checkers, sequence);
}

base::Result<Answer> best_order(const Problem& problem, const AnswerOptions& options) {
  BIGHT_TRY(const base::Done sound, problem.valid());
  static_cast<void>(sound);
  clearance::ClearanceOptions close;
  close.interest_mm = kInterest_mm;
  BIGHT_TRY(Checkers checkers, Checkers::make(problem, close));
  const StepRules rules(problem, options.agreed);
  Answer answer;
  std::vector<Sequence> others;
  Found found;
  if (problem.bender.kind == BenderKind::kCarriageFed) {
    BIGHT_TRY(std::vector<Sequence> both, carriage_orders(problem, rules, options.agreed));
    found.sequence = taken(problem, rules, both, options.given);
    found.proven = true;
    others = std::move(both);
  } else {
    BIGHT_TRY(StepBook book, StepBook::make(problem, options.agreed));
    OrderSearch search(problem, rules, book, options.effort);
    found = search.run({.all = {}, .first = {}, .order = options.given});
    if (options.others && !options.given.empty()) others.push_back(search.run().sequence);
    if (options.others) {
      for (Sequence& other : candidates(problem, rules, search)) others.push_back(std::move(other));
    }
    answer.num_checks = book.num_checks();
  }
  if (options.effort.cancelled && options.effort.cancelled()) {
    return base::Failure{"ordering.cancelled", "", "the search for an order was called off", ""};
  }
  answer.best = judged(problem, options.agreed, rules, checkers, found.sequence);
  answer.proven = found.proven;
  answer.bound = found.proven ? answer.best.cost : found.bound;
  std::vector<Sequence> seen = {found.sequence};
  for (const Sequence& other : others) {
    if (!options.others || other.size() != problem.tube.bends.size()) continue;
    if (std::find(seen.begin(), seen.end(), other) != seen.end()) continue;
    seen.push_back(other);
    answer.others.push_back(judged(problem, options.agreed, rules, checkers, other));
  }
  std::stable_sort(answer.others.begin(), answer.others.end(),
                   [](const Order& a, const Order& b) { return a.cost < b.cost; });
  return answer;
}

}  // namespace bight::ordering

#include "ordering/order_search.h"

#include <algorithm>
#include <bit>
#include <limits>
#include <unordered_set>

#include "ordering/cost_bits.h"

namespace bight::ordering {

namespace {

// Up to this many bends the cost to go is tabled for every set: 8 bytes · 2^n · n · choices.
constexpr std::size_t kMostTabled = 17;

// How a bend is made: which end ahead, with which of its dies.
struct Choice {
  Front front;
  std::size_t tool;
  std::size_t die;
};

// A state of the search backwards: these bends are still to be made before `bend` is, which is
// made by `choice`.
struct State {
  MadeBends set = 0;
  std::uint32_t bend = 0;
  std::uint32_t choice = 0;
  std::int32_t after = -1;  // the state it came from: the step made next
  CostBits so_far = 0;      // of `bend` and all that are made after it
};

struct Edge {
  CostBits at_least;
  std::uint32_t left;    // bends still to be made
  std::uint64_t number;  // in order of finding
  std::int32_t from;     // state
  std::uint32_t bend;
  std::uint32_t choice;
  bool looked_at;  // its clearance is known, and paid for

  // The cheapest first, then the furthest on, then the last found.
  bool operator<(const Edge& other) const {
    if (at_least != other.at_least) return at_least > other.at_least;
    if (left != other.left) return left > other.left;
    return number < other.number;
  }
};

// What the search has open, and what it is done with.
struct Frontier {
  std::vector<State> states;
  std::vector<Edge> open;
  std::unordered_set<std::uint64_t> closed;
  std::uint64_t num_edges = 0;

  void push(const Edge& edge) {
    open.push_back(edge);
    std::push_heap(open.begin(), open.end());
  }
  Edge pop() {
    std::pop_heap(open.begin(), open.end());
    const Edge edge = open.back();
    open.pop_back();
    return edge;
  }
};

constexpr std::uint32_t kNone = std::numeric_limits<std::uint32_t>::max();
constexpr std::int8_t kUnknown = -1;

}  // namespace

struct OrderSearch::Impl {
  const Problem& problem;
  const StepRules& rules;
  StepBook& book;
  const Effort& effort;
  std::size_t n;
  std::vector<std::vector<Choice>> choices;  // of each bend
  std::size_t most_choices = 0;
  MadeBends everything;

  Narrowing narrowing;
  std::uint8_t margin_class = 0;
  std::uint32_t flips_max = 0;
  bool hard = true;  // no step may stop; else stops are paid for
  bool gave_up = false;
  std::size_t ticks = 0;
  std::vector<CostBits> to_go;  // tabled
  // Of a set followed by a step of a front: flips that are too few, and that are enough.
  struct Flips {
    std::int8_t too_few = kUnknown;
    std::int8_t enough = std::numeric_limits<std::int8_t>::max();
  };
  std::unordered_map<std::uint64_t, Flips> buildable_sets;

  Impl(const Problem& p, const StepRules& r, StepBook& b, const Effort& e);

  bool tired();
  bool allowed(std::size_t bend, const Choice& choice, MadeBends before) const;
  CostBits own(std::size_t bend, const Choice& choice, MadeBends before) const;
  CostBits between(std::size_t bend, const Choice& choice, std::uint32_t next,
                   std::uint32_t next_choice) const;
  bool clears(std::size_t bend, const Choice& choice, MadeBends before);
  bool buildable(MadeBends set, Front next, int flips);
  bool some_order(int flips);
  bool settle_margin_and_flips();
  std::size_t slot(MadeBends set, std::uint32_t bend, std::uint32_t choice) const {
    return (set * n + bend) * most_choices + choice;
  }
  void table_to_go();
  CostBits least_to_go(MadeBends set, std::uint32_t next, std::uint32_t next_choice) const;
  CostBits remaining(MadeBends set, std::uint32_t next, std::uint32_t next_choice) const;
  void expand(Frontier& frontier, std::int32_t from) const;
  std::optional<State> look(Frontier& frontier, const Edge& edge);
  Found search();
  Found first_found();
  Sequence sequence_of(const std::vector<State>& states, std::int32_t last) const;
};

OrderSearch::Impl::Impl(const Problem& p, const StepRules& r, StepBook& b, const Effort& e)
    : problem(p), rules(r), book(b), effort(e), n(p.tube.bends.size()) {
  everything = (MadeBends{1} << n) - 1;
  for (const std::vector<BendTool>& tools : problem.tools) {
    std::vector<Choice>& of_bend = choices.emplace_back();
    const Front second = problem.first == Front::kEndA ? Front::kEndB : Front::kEndA;
    for (const Front front : {problem.first, second}) {
      for (std::size_t t = 0; t < tools.size(); ++t) of_bend.push_back({front, t, tools[t].die});
    }
    most_choices = std::max(most_choices, of_bend.size());
  }
}

// Whether the allowed work is used up or somebody called it off.
bool OrderSearch::Impl::tired() {
  if (gave_up) return true;
  if (book.num_checks() >= effort.num_checks_max) gave_up = true;
  if (++ticks % 64 != 0) return gave_up;
  if (effort.cancelled && effort.cancelled()) gave_up = true;
  if (effort.progress) {
    effort.progress(std::min(
        1.0, static_cast<double>(book.num_checks()) / static_cast<double>(effort.num_checks_max)));
  }
  return gave_up;
}

bool OrderSearch::Impl::allowed(std::size_t bend, const Choice& choice, MadeBends before) const {
  if (!narrowing.order.empty()) {
    const Fixed& fixed = narrowing.order[static_cast<std::size_t>(std::popcount(before))];
    if (bend != fixed.bend || choice.front != fixed.front.value_or(choice.front)) return false;
  }
  if (narrowing.all.has_value() && choice.front != *narrowing.all) return false;
  return before != 0 || !narrowing.first.has_value() || choice.front == *narrowing.first;
}

// What a step costs by itself, bodies apart.
CostBits OrderSearch::Impl::own(std::size_t bend, const Choice& choice, MadeBends before) const {
  CostBits cost = CostBits{rules.outward(bend, before)} << kOutwardAt;
  if (!rules.measurable(bend, before)) cost += CostBits{1} << kUnmeasuredAt;
  const BendTool& tool = problem.tools[bend][choice.tool];
  if (!rules.straights_fit(bend, before, choice.front, tool)) cost += kOneStop;
  if (before == 0 && choice.front != problem.first) cost += 1;
  return cost;
}

CostBits OrderSearch::Impl::between(std::size_t bend, const Choice& choice, std::uint32_t next,
                                    std::uint32_t next_choice) const {
  if (next == kNone) return 0;
  const Choice& then = choices[next][next_choice];
  CostBits cost = CostBits{rules.handling(bend, next)} << kHandlingAt;
  if (then.front != choice.front) cost += kOneFlip;
  if (then.die != choice.die) cost += kOneDieChange;
  return cost;
}

bool OrderSearch::Impl::clears(std::size_t bend, const Choice& choice, MadeBends before) {
  const Placed placed{bend, choice.front, choice.tool, {}, 0.0};
  return book.within(placed, before, hard ? margin_class : StepBook::kHit - 1);
}

// Whether the set can be made, followed by a step with this end ahead, in at most so many flips.
bool OrderSearch::Impl::buildable(MadeBends set, Front next, int flips) {
  if (set == 0) return true;
  if (flips < 0) return false;
  const std::uint64_t key = (set << 1) | (next == Front::kEndB ? 1u : 0u);
  const Flips known = buildable_sets[key];
  if (flips <= known.too_few) return false;
  if (flips >= known.enough) return true;
  // The end that is ahead anyway first.
  for (const bool flipped : {false, true}) {
    // Taken off first: what is furthest from the end ahead, as when working along the part.
    const bool from_b = (next == Front::kEndA) != flipped;
    for (MadeBends rest = set; rest != 0;) {
      const auto bend =
          static_cast<std::size_t>(from_b ? 63 - std::countl_zero(rest) : std::countr_zero(rest));
      const MadeBends before = set & ~(MadeBends{1} << bend);
      rest &= ~(MadeBends{1} << bend);
      for (const Choice& choice : choices[bend]) {
        if ((choice.front != next) != flipped || !allowed(bend, choice, before)) continue;
        const int left = flips - (flipped ? 1 : 0);
        if (left < 0 || tired()) continue;
        const BendTool& tool = problem.tools[bend][choice.tool];
        if (!rules.straights_fit(bend, before, choice.front, tool)) continue;
        if (!clears(bend, choice, before) || !buildable(before, choice.front, left)) continue;
        Flips& now = buildable_sets[key];
        now.enough = static_cast<std::int8_t>(std::min<int>(now.enough, flips));
        return true;
      }
    }
  }
  if (!gave_up) {
    Flips& now = buildable_sets[key];
    now.too_few = static_cast<std::int8_t>(std::max<int>(now.too_few, flips));
  }
  return false;
}

bool OrderSearch::Impl::some_order(int flips) {
  return buildable(everything, Front::kEndA, flips) || buildable(everything, Front::kEndB, flips);
}

// The widest margin that any order has, and the fewest flips at that margin. A flip to an imagined
// step after the last is avoided by asking for both ends.
bool OrderSearch::Impl::settle_margin_and_flips() {
  for (margin_class = 0; margin_class < book.num_classes(); ++margin_class) {
    buildable_sets.clear();
    flips_max = 0;
    if (some_order(0)) return true;
    if (!gave_up && !some_order(static_cast<int>(n))) continue;
    while (!gave_up && !some_order(static_cast<int>(++flips_max))) continue;
    if (gave_up) flips_max = static_cast<std::uint32_t>(n);
    return !gave_up;
  }
  return false;
}

// Least cost, bodies apart, of making a set before a given step; by rising sets.
void OrderSearch::Impl::table_to_go() {
  // Of a given order only n sets come up.
  if (n > kMostTabled || !narrowing.order.empty()) return;
  to_go.assign(slot(everything, 0, 0) + n * most_choices, kNever);
  for (MadeBends set = 0; set < everything; ++set) {
    for (std::uint32_t next = 0; next < n; ++next) {
      if (((set >> next) & 1u) != 0) continue;
      for (std::uint32_t c = 0; c < choices[next].size(); ++c) {
        to_go[slot(set, next, c)] = set == 0 ? 0 : least_to_go(set, next, c);
      }
    }
  }
}

CostBits OrderSearch::Impl::least_to_go(MadeBends set, std::uint32_t next,
                                        std::uint32_t next_choice) const {
  CostBits least = kNever;
  for (MadeBends rest = set; rest != 0; rest &= rest - 1) {
    const auto bend = static_cast<std::uint32_t>(std::countr_zero(rest));
    const MadeBends before = set & ~(MadeBends{1} << bend);
    for (std::uint32_t c = 0; c < choices[bend].size(); ++c) {
      const Choice& choice = choices[bend][c];
      if (!allowed(bend, choice, before)) continue;
      least = std::min(least, own(bend, choice, before) + between(bend, choice, next, next_choice) +
                                  to_go[slot(before, bend, c)]);
    }
  }
  return least;
}

// At most what making the set before this step costs.
CostBits OrderSearch::Impl::remaining(MadeBends set, std::uint32_t next,
                                      std::uint32_t next_choice) const {
  if (set == 0) return 0;
  if (!to_go.empty() && next != kNone) return to_go[slot(set, next, next_choice)];
  // No table: the cheapest way on from each, and the outward pairs that are
  // settled already because their other bend is made later.
  CostBits cost = 0;
  for (MadeBends rest = set; rest != 0; rest &= rest - 1) {
    const auto bend = static_cast<std::uint32_t>(std::countr_zero(rest));
    std::uint32_t least = kNone;
    for (std::uint32_t other = 0; other < n; ++other) {
      const bool can_follow = other == next || ((set >> other) & 1u) != 0;
      if (other != bend && can_follow) least = std::min(least, rules.handling(bend, other));
    }
    if (least != kNone) cost += CostBits{least} << kHandlingAt;
    cost += CostBits{static_cast<std::uint32_t>(std::popcount(rules.nearer_middle(bend) & ~set))}
            << kOutwardAt;
  }
  return cost;
}

Sequence OrderSearch::Impl::sequence_of(const std::vector<State>& states, std::int32_t last) const {
  Sequence out;
  for (std::int32_t at = last; at >= 0 && states[static_cast<std::size_t>(at)].bend != kNone;
       at = states[static_cast<std::size_t>(at)].after) {
    const State& state = states[static_cast<std::size_t>(at)];
    const Choice& choice = choices[state.bend][state.choice];
    out.push_back({state.bend, choice.front, choice.tool, {}, 0.0});
  }
  return out;
}

void OrderSearch::Impl::expand(Frontier& frontier, std::int32_t from) const {
  const State state = frontier.states[static_cast<std::size_t>(from)];
  for (MadeBends rest = state.set; rest != 0; rest &= rest - 1) {
    const auto bend = static_cast<std::uint32_t>(std::countr_zero(rest));
    const MadeBends before = state.set & ~(MadeBends{1} << bend);
    for (std::uint32_t c = 0; c < choices[bend].size(); ++c) {
      const Choice& choice = choices[bend][c];
      if (!allowed(bend, choice, before)) continue;
      const CostBits cost = state.so_far + own(bend, choice, before) +
                            between(bend, choice, state.bend, state.choice) +
                            remaining(before, bend, c);
      if (hard && (cost >= kOneStop || field(cost, kFlipAt, 6) > flips_max)) continue;
      frontier.push({cost, static_cast<std::uint32_t>(std::popcount(before)), frontier.num_edges++,
                     from, bend, c, false});
    }
  }
}

// Looks at a cheapest edge: the state it leads to, or nothing when it is barred or has become
// dearer.
std::optional<State> OrderSearch::Impl::look(Frontier& frontier, const Edge& edge) {
  const State from = frontier.states[static_cast<std::size_t>(edge.from)];
  const Choice& choice = choices[edge.bend][edge.choice];
  const MadeBends before = from.set & ~(MadeBends{1} << edge.bend);
  const std::uint64_t key =
      before | (std::uint64_t{edge.bend} << 32) | (std::uint64_t{edge.choice} << 40);
  if (frontier.closed.contains(key)) return std::nullopt;
  if (!edge.looked_at && !clears(edge.bend, choice, before)) {
    if (hard) return std::nullopt;
    // A step already stopped for its straights stops once.
    const BendTool& tool = problem.tools[edge.bend][choice.tool];
    if (rules.straights_fit(edge.bend, before, choice.front, tool)) {
      Edge paid = edge;
      paid.at_least += kOneStop;
      paid.looked_at = true;
      frontier.push(paid);
      return std::nullopt;
    }
  }
  const CostBits so_far = from.so_far + (edge.looked_at ? kOneStop : 0) +
                          own(edge.bend, choice, before) +
                          between(edge.bend, choice, from.bend, from.choice);
  if (hard) {
    const int flips_left = static_cast<int>(flips_max - field(so_far, kFlipAt, 6));
    if (!buildable(before, choice.front, flips_left)) return std::nullopt;
  }
  frontier.closed.insert(key);
  return State{before, edge.bend, edge.choice, edge.from, so_far};
}

// Best first, backwards from the finished part; clearance is asked for only when an edge has come
// up as the cheapest.
Found OrderSearch::Impl::search() {
  Frontier frontier;
  frontier.states.push_back({everything, kNone, 0, -1, 0});
  expand(frontier, 0);
  Found found;
  while (!frontier.open.empty()) {
    const Edge edge = frontier.pop();
    found.bound = unpacked(edge.at_least, hard ? margin_class : 0);
    if (tired() || frontier.states.size() > effort.num_states_max) {
      gave_up = true;
      return found;
    }
    const std::optional<State> state = look(frontier, edge);
    // Work given up in the middle of a look has judged nothing.
    if (gave_up) return found;
    if (!state.has_value()) continue;
    frontier.states.push_back(*state);
    const auto at = static_cast<std::int32_t>(frontier.states.size() - 1);
    if (state->set == 0) {
      found.sequence = sequence_of(frontier.states, at);
      found.cost = found.bound = unpacked(state->so_far, hard ? margin_class : 0);
      found.proven = true;
      return found;
    }
    expand(frontier, at);
  }
  return {};
}

// Some order, step by step backwards, each time the cheapest way on that is known to be completed;
// without any, the cheapest whatever it meets. Few checks, so it is done even when work ran out.
Found OrderSearch::Impl::first_found() {
  Sequence backwards;
  MadeBends set = everything;
  std::uint32_t next = kNone, next_choice = 0;
  CostBits total = 0;
  while (set != 0) {
    CostBits best = kNever, best_step = 0;
    std::uint32_t best_bend = kNone, best_choice = 0;
    for (MadeBends rest = set; rest != 0; rest &= rest - 1) {
      const auto bend = static_cast<std::uint32_t>(std::countr_zero(rest));
      const MadeBends before = set & ~(MadeBends{1} << bend);
      for (std::uint32_t c = 0; c < choices[bend].size(); ++c) {
        const Choice& choice = choices[bend][c];
        if (!allowed(bend, choice, before)) continue;
        const CostBits step = own(bend, choice, before) + between(bend, choice, next, next_choice);
        CostBits cost = step + remaining(before, bend, c);
        if (cost >= best) continue;
        const auto known =
            buildable_sets.find((before << 1) | (choice.front == Front::kEndB ? 1u : 0u));
        const bool built = before == 0 || (known != buildable_sets.end() &&
                                           known->second.enough <= static_cast<int>(n));
        if (!built) cost += kOneStop;
        if (cost >= best || !clears(bend, choice, before)) cost += kOneStop;
        if (cost >= best) continue;
        best = cost;
        best_step = step;
        best_bend = bend;
        best_choice = c;
      }
    }
    if (best_bend == kNone) return {};
    const Choice& choice = choices[best_bend][best_choice];
    backwards.push_back({best_bend, choice.front, choice.tool, {}, 0.0});
    total += best_step;
    set &= ~(MadeBends{1} << best_bend);
    next = best_bend;
    next_choice = best_choice;
  }
  Found found;
  found.sequence.assign(backwards.rbegin(), backwards.rend());
  found.cost = unpacked(total, 0);
  return found;
}

OrderSearch::OrderSearch(const Problem& problem, const StepRules& rules, StepBook& book,
                         const Effort& effort)
    : impl_(std::make_unique<Impl>(problem, rules, book, effort)) {}
OrderSearch::OrderSearch(OrderSearch&&) noexcept = default;
OrderSearch::~OrderSearch() = default;

Found OrderSearch::run(const Narrowing& narrowing) {
  Impl& s = *impl_;
  s.narrowing = narrowing;
  s.gave_up = false;
  s.to_go.clear();
  if (s.n == 0) return {{}, {}, true, {}};
  s.hard = true;
  const bool clear = s.settle_margin_and_flips();
  s.table_to_go();
  Found found;
  if (!s.gave_up) {
    s.hard = clear;
    found = s.search();
  }
  if (found.proven) return found;
  const Cost bound = found.bound;
  found = s.first_found();
  found.bound = bound;
  return found;
}

}  // namespace bight::ordering

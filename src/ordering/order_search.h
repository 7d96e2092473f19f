// The best order of bends where every order can be asked for: hand-placed benders.
//
// What a step meets depends on the set of bends already made, not on their order. So 2^n sets stand
// for n! orders: first the sets that can be built at all settle margin and flips, then a best-first
// search backwards from the finished part, guided by the exact remaining cost without bodies,
// settles the rest. docs/theory/ordering.md has the steps and why the answer is the best.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "ordering/step_book.h"
#include "ordering/step_rules.h"

namespace bight::ordering {

// A bend whose place in the order is given.
struct Fixed {
  std::size_t bend = 0;
  std::optional<Front> front;  // none: either end may be ahead
};

// Narrows what orders are looked at.
struct Narrowing {
  std::optional<Front> all;    // this end ahead in every step
  std::optional<Front> first;  // this end ahead in the first step
  std::vector<Fixed> order;    // every bend once, in this order; empty: any order
};

struct Found {
  Sequence sequence;    // empty: nothing found (cancelled before anything was)
  Cost cost;            // with the classes the search tells apart
  bool proven = false;  // no order within the narrowing costs less
  Cost bound;           // no order costs less than this; equal to cost when proven
};

class OrderSearch {
 public:
  // Holds references to all of them. Pre: the problem is valid and not carriage-fed.
  OrderSearch(const Problem& problem, const StepRules& rules, StepBook& book, const Effort& effort);
  OrderSearch(OrderSearch&&) noexcept;
  ~OrderSearch();

  // Several questions may be asked one after another; what was learnt about steps is kept.
  Found run(const Narrowing& narrowing = {});

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace bight::ordering

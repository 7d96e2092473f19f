// In what order the bends are made: what was asked for, and what came of it.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"
#include "ordering/problem.h"

namespace bight::planning {

enum class End { kA, kB };

inline const char* letter_of(End end) { return end == End::kA ? "A" : "B"; }
inline End other_end(End end) { return end == End::kA ? End::kB : End::kA; }

// One bend in an order of working.
struct PlacedBend {
  std::size_t bend = 0;  // 0-based, counted from end A of the part
  End front = End::kA;   // goes ahead through the clamp

  friend bool operator==(const PlacedBend&, const PlacedBend&) = default;
};
using BendOrder = std::vector<PlacedBend>;

// Along the part with one end ahead throughout: as a drawing is read.
BendOrder drawn_order(std::size_t num_bends, End front);
// "3B,1A,2A": bends counted from end A of the part, each with the end that goes ahead.
std::string text(const BendOrder& order);

// What order somebody wants.
struct OrderWish {
  enum class Kind {
    kDrawnIfItWorks,  // as drawn, unless that stops and another order works
    kDrawn,           // as drawn whatever comes of it
    kBest,            // the best that can be found
    kGiven,           // the bends below
  };
  struct Bend {
    std::size_t bend = 0;      // 0-based
    std::optional<End> front;  // none: whichever serves best
  };
  Kind kind = Kind::kDrawnIfItWorks;
  std::vector<Bend> bends;

  // Each bend of the part once. Failure code: plan.order.
  base::Status suits(std::size_t num_bends) const;
};

// "auto", "keep", "best" or bends as "3,1,2" or "3B,1A,2A"; an end may be left open at any of them.
// Failure code: plan.order.
base::Result<OrderWish> parse_order_wish(std::string_view typed);
// "auto", "keep", "best", "given".
std::string_view word(OrderWish::Kind kind);

// An order and how it goes.
struct WorkOrder {
  BendOrder bends;
  bool compared = false;      // with machine and room
  std::size_t num_stops = 0;  // steps that cannot be made so
  std::size_t num_flips = 0;  // end for end
  std::size_t num_die_changes = 0;
  std::optional<double> low_mm;  // compared: the tube never comes nearer to anything than this
  ordering::Cost cost;           // compared: what it is ranked by
  // No order of bends costs less on a blank that is long enough for any, and that is proven.
  bool best = false;
  std::string name;   // "in drawing order from end B", "bends 2A, 1B"
  std::string words;  // how it goes: "clears the floor by 82.0 mm, needs one flip"

  bool works() const { return num_stops == 0; }
};

}  // namespace bight::planning

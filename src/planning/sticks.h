// Stock lengths for a job: how many pieces each gives, which to take from the rack, what to buy.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/length.h"
#include "base/result.h"
#include "part/finding.h"
#include "planning/plan.h"

namespace bight::planning {

// Equal lengths that lie in the rack.
struct RackSticks {
  std::string heat;   // empty: not known
  std::string place;  // "rack 3"
  double length_mm = 0.0;
  int sticks = 0;
  std::size_t stock = 0;  // which of the shop's
};

struct SticksRequest {
  double cut_mm = 0.0;  // one piece
  int pieces = 0;       // to be delivered
  int spare = 0;        // cut beside them: trials, set-up, the first that goes wrong
  double kerf_mm = 3.0;
  double stick_mm = 6000.0;      // as bought
  double allowance_mm = 0.0;     // of the cut: spare ends that are trimmed off after bending
  bool proven = false;           // the cut length was measured on a bend
  std::string heat;              // of the job's trial bends; empty: any
  std::vector<RackSticks> rack;  // of this size and metal
  base::LengthStyle style;       // of lengths in findings
};

// What a part's plan asks for: cut length, spare ends, quantity and heat, and what lies in the rack
// of its size and metal, whichever way a rectangle is to be bent; tube whose length is not known is
// passed over. Sticks as bought are 6000 mm, 20 ft where the style has inches.
// Failure codes: sticks.number (the plan has no blank).
base::Result<SticksRequest> sticks_request(const Plan& plan,
                                           const std::vector<workshop::StockTube>& stock,
                                           const base::LengthStyle& style);

struct StickUse {
  std::size_t rack = 0;  // which of the request's
  int per_stick = 0;
  int taken = 0;  // sticks
  int pieces = 0;
  double rest_mm = 0.0;  // left of each whole stick
};

struct SticksPlan {
  int needed = 0;                   // pieces and spare
  int per_stick = 0;                // as bought
  double rest_mm = 0.0;             // left of a whole stick as bought
  int missing = 0;                  // pieces that no stick gives
  int to_buy = 0;                   // sticks, after what the rack gives
  double last_rest_mm = 0.0;        // left of the last stick, bought or from the rack
  std::optional<double> over_mm;    // too long, a piece, for one piece more from each stick
  std::vector<StickUse> from_rack;  // beside the request's rack
  std::vector<part::Finding> findings;
};

// Sticks taken from the rack are the set of least total length that gives the pieces, fewest
// sticks among equals (bounded covering problem, exact by dynamic programming over the pieces): of
// the job's heat alone where that is enough, else of any one heat, else of all. Where the rack
// cannot give them all, everything in it that gives a piece. A stick gives
// floor((L + kerf) / (cut + kerf)) pieces: the last needs no kerf where it fits exactly.
// Findings: sticks.short (stop: a piece is longer than the stick), sticks.unproven, sticks.heats,
// sticks.almost (shorter ends would give one piece more).
// Failure codes: sticks.number (a length or number that is not positive, or too many pieces).
base::Result<SticksPlan> plan_sticks(const SticksRequest& request);

inline constexpr int kMostPieces = 10'000;

}  // namespace bight::planning

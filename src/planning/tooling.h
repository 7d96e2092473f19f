// Which bender and which die set make each bend.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/length.h"
#include "planning/known_springback.h"
#include "planning/plan.h"

namespace bight::planning {

// One die set held against one tube: whether it can serve, and what it would give.
struct DieOpinion {
  std::size_t die_index = 0;             // into Shop::die_sets
  bool fits = false;                     // groove and bender take the tube
  std::string why_not;                   // when it does not
  double radius_after_release_mm = 0.0;  // when it does
};

// All die sets of the shop against a section on this bender, in the shop's order. The section
// stands as it is bent (part::section_at).
std::vector<DieOpinion> opinions(const workshop::Shop& shop, const workshop::Bender& bender,
                                 const part::Part& part, const stock::Section& section,
                                 const base::LengthStyle& style);

struct ToolingWish {
  std::string bender;  // empty: choose
  std::string die;     // empty: choose
};

struct ToolingChoice {
  std::optional<workshop::Bender> bender;
  std::vector<std::size_t> die_of_bend;  // index into dies, one for each bend; empty when none fits
  std::vector<UsedDie> dies;
  std::vector<KnownSpringback> known;  // beside dies
  std::vector<part::Finding> findings;
};

// A bend within this share of its wanted radius is made without a word, up to the second with a
// caution; beyond, no die fits. Radial growth itself is rarely critical (trade technical notes);
// the limits are ours.
inline constexpr double kRadiusQuiet_ratio = 0.02;
inline constexpr double kRadiusFurthest_ratio = 0.10;

// The bender and die sets for the part: dies by the real size of the tube and the radius nearest
// to the wanted one after release; the first bender in the shop's order that can make every bend.
// A named bender or die is taken even where it does not fit, with a stop finding that says so.
// Failure codes: plan.unknown-bender, plan.unknown-die (the shop has none of that name; the
// message lists those it has).
base::Result<ToolingChoice> choose_tooling(const part::Part& part, const workshop::Shop& shop,
                                           const ToolingWish& wish, const base::LengthStyle& style);

}  // namespace bight::planning

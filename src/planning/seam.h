// Where the weld seam of a tube should lie.
#pragma once

#include <optional>

#include "geometry/bend_table.h"
#include "planning/plan.h"

namespace bight::planning {

// The clock position, seen along the tube from end A with the outside of bend `first` (1-based) at
// 12 o'clock, that keeps the seam nearest the neutral side of every bend. Equal choices: the one
// furthest from the stretched outsides. Nothing for a part without bends. To half a degree.
//
// Source: weld seam near the neutral axis, 49 CFR 192.313; for several planes the smallest worst
// distance, derived; preferring the compressed side is common practice, no source.
std::optional<Seam> best_seam(const geometry::BendTable& table, std::size_t first = 1);

// "7:30" for 225°, rounded to 5 minutes (2.5°).
std::string clock_text(base::Angle clock);

}  // namespace bight::planning

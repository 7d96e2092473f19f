// How far each row of a bend table reaches: what a millimetre or a degree does at the far end.
#pragma once

#include <vector>

#include "geometry/bend_table.h"
#include "geometry/frame.h"

namespace bight::inspection {

// One entry of a bend table.
enum class Entry { kStraight, kRotation, kAngle };

struct EntryOf {
  Entry entry = Entry::kStraight;
  std::size_t index = 0;  // 0-based; straight num_bends() is the last
};

// Every entry that shapes the part: straights, rotations of all bends but the first, angles, in the
// order straight 0, angle 0, straight 1, rotation 1, angle 1, …, last straight.
std::vector<EntryOf> entries(const geometry::BendTable& table);

// Movement of end B for each of entries(), end A held: mm per mm for straights, mm per rad for
// rotations and angles. A growing arc turns everything after it about its own centre; a rotation
// turns it about the straight before (derived; checked by differences).
std::vector<geometry::Vec3> reach_of_end_b(const geometry::BendTable& table);

// The table with an amount (mm or rad) added to each of entries(). Angles below 0.01° are held
// there, so that no bend is lost.
geometry::BendTable shifted(const geometry::BendTable& table, const std::vector<double>& amounts);

}  // namespace bight::inspection

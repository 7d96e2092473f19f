// What is keyed in for a piece of this plan, and what the next one takes after it was measured.
#pragma once

#include <optional>
#include <vector>

#include "base/result.h"
#include "inspection/correction.h"
#include "planning/plan.h"

namespace bight::planning {

// The plan's own program, with what the piece was really keyed in with where it says so. Rows run
// from end A, whichever end was worked from: a feed, a rotation between two bends and a set angle
// are the same from either side. A piece's `turned` is by the bender's sign, as the plan shows it;
// the program is by the bend table's.
// Failure codes: correct.program (the plan has no steps, so nothing is known of a program).
base::Result<inspection::Commanded> program_of(const Plan& plan,
                                               const inspection::Measured& measured);

// One bend's mark on the next blank.
struct NextMark {
  std::size_t bend = 0;  // 1-based, from end A
  double old_mm = 0.0;   // as the plan marks it (the die's own mark where one is known)
  double new_mm = 0.0;
};

struct BenchCorrection {
  inspection::Commanded last;
  inspection::Correction correction;
  std::vector<NextMark> marks;  // in the order worked
  double old_cut_mm = 0.0;
  double new_cut_mm = 0.0;
};

// inspection::correct with the plan's shape, program and springback lines. Marks and cut length
// follow the feeds. Failure codes: correct.program, those of inspection::correct.
base::Result<BenchCorrection> correct_piece(const Plan& plan, const inspection::Measured& measured);

}  // namespace bight::planning

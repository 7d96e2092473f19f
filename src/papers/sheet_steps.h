// The table of steps, in the order of working.
#pragma once

#include "papers/block.h"

namespace bight::papers {

Block steps_heading(const Writer& writer);

// One block per step. Rows are as high as they must be, or `stretch_mm` higher when the page has
// room to spare. A plan without steps gives one row that says so.
std::vector<Block> step_rows(const Writer& writer, double stretch_mm = 0.0);

// Torque, speed and what the cut length rests on; nothing when the plan has no steps.
std::optional<Block> steps_note(const Writer& writer, double width_mm);

}  // namespace bight::papers

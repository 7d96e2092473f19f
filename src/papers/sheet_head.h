// Top of the set-up sheet: what part, of what metal, on which tools, read by which conventions.
#pragma once

#include "papers/block.h"

namespace bight::papers {

// Part, hand, drawing, customer, quantity, bender, tube, material, seam, conventions; `width_mm`
// wide.
std::vector<Block> head_blocks(const Writer& writer, double width_mm);

// Die sets with radii and springback.
Block tools_block(const Writer& writer, double width_mm);

// Head of the pages after the first.
Block short_head_block(const Writer& writer, double width_mm);

// "Do not bend" across the page with the first stop findings; nothing when the plan has none.
std::optional<Block> stop_banner(const Writer& writer, double width_mm);

}  // namespace bight::papers

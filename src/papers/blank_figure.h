// The blank to scale: where the marks go, where the bends will be, what is cut off.
#pragma once

#include "papers/block.h"

namespace bight::papers {

// Cut length in large type with its band, then the bar with end A to the left: marks with their
// distance and step, a cross on the side of each mark where the bend goes, bends shaded and
// numbered, grip and trim hatched. Nothing is drawn of a blank without length.
Block blank_block(const Writer& writer, double width_mm);

}  // namespace bight::papers

// What the tube should look like after each step but the last, and what a tape finds on it then.
#pragma once

#include <vector>

#include "papers/block.h"

namespace bight::papers {

// Rows of small pictures, three to a row, each with two lengths to check. The last step leaves the
// part, which the sheet shows already. Empty for one step, or where the plan has no order.
std::vector<Block> after_rows(const Writer& writer);

}  // namespace bight::papers

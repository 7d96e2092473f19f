// The lower part of the sheet: findings, what to measure, what to see to, what to beware of.
#pragma once

#include <array>
#include <vector>

#include "papers/block.h"

namespace bight::papers {

// How many rows of notes, cautions and stops findings_group makes: one says several bends.
std::array<std::size_t, 3> told_counts(const std::vector<part::Finding>& findings);

Group findings_group(const Writer& writer, double width_mm);
Group checks_group(const Writer& writer, double width_mm);

// Lines to tick, chosen by what the plan uses.
Block checklist_block(const Writer& writer);

// Dangers at the machine, and what this sheet is not.
Block cautions_block(const Writer& writer, double width_mm);

// Lines to sign. A plan with stop findings cannot be released.
Block sign_off_block(const Writer& writer);

// Ruled lines for what is seen at the machine; fills the height it is given.
void draw_notes(Canvas& canvas, const Box& box);

}  // namespace bight::papers

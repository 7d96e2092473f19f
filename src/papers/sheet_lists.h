// The lower part of the sheet: findings, what to measure, what to see to, what to beware of.
#pragma once

#include "papers/block.h"

namespace bight::papers {

Group findings_group(const Writer& writer, double width_mm);
Group checks_group(const Writer& writer, double width_mm);
Group checklist_group(const Writer& writer, double width_mm);
Group cautions_group(const Writer& writer, double width_mm);

// Lines to sign.
Block sign_off_block();

// Ruled lines for what is seen at the machine; fills the height it is given.
void draw_notes(Canvas& canvas, const Box& box);

}  // namespace bight::papers

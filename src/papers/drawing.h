// The part drawn on the sheet: three plain views and a pictorial one.
#pragma once

#include <vector>

#include "geometry/bend_table.h"
#include "papers/canvas.h"
#include "papers/pose.h"
#include "papers/wording.h"
#include "stock/section.h"

namespace bight::papers {

// Room the labels and sizes of a view take beside the part.
CellMargins view_margins(const Canvas& canvas, const stock::Section& section,
                         const Wording& wording);

// Fills the box with the views "from above", "from the front", "from the right", all at one
// printed scale and with overall sizes (over the outside of the tube), and a pictorial view. The
// tube has its true width. Ends are marked A and B, bends numbered from A. Hidden outlines are left
// out. Nothing is drawn outside the box.
void draw_views(Canvas& canvas, const Box& box, const geometry::BendTable& table,
                const stock::Section& section, const Wording& wording);

// One pictorial view of a tube with some of its bends made, as large as the box takes it; ends are
// marked, bends carry the numbers given beside the table's rows.
void draw_made(Canvas& canvas, const Box& box, const geometry::BendTable& table,
               const stock::Section& section, const std::vector<std::size_t>& numbers);

}  // namespace bight::papers

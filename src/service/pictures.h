// A part as pictures: flat views for drawings, all views on one page.
#pragma once

#include <string>
#include <vector>

#include "base/length.h"
#include "base/result.h"
#include "exchange/dxf_write.h"
#include "geometry/bend_table.h"
#include "planning/plan.h"
#include "stock/section.h"

namespace bight::service {

// From above, from the front and from the right, without what is hidden, in part millimetres.
std::vector<exchange::FlatView> flat_views(const geometry::BendTable& table,
                                           const geometry::Frame& start,
                                           const stock::Section& section);

// The sheet's views and its pictorial one as an SVG of A4 across.
// Failure code: papers.drawing.
base::Result<std::string> views_svg(const geometry::BendTable& table, const stock::Section& section,
                                    const base::LengthStyle& style);

// The blank to scale with its marks, as on the sheet, as an SVG of A4's width and its own height.
// A blank without length gives an empty picture. Failure code: papers.drawing.
base::Result<std::string> strip_svg(const planning::Plan& plan, const base::LengthStyle& style);

}  // namespace bight::service

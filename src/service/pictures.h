// A part as pictures: flat views for drawings, all views on one page.
#pragma once

#include <string>
#include <vector>

#include "base/length.h"
#include "base/result.h"
#include "exchange/dxf_write.h"
#include "geometry/bend_table.h"
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

}  // namespace bight::service

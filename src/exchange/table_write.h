// Bend tables and point lists as CSV or TSV, headed so that reading them asks nothing.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/length.h"
#include "geometry/bend_table.h"
#include "geometry/frame.h"

namespace bight::exchange {

struct TableStyle {
  base::LengthUnit unit = base::LengthUnit::kMillimetre;
  char separator = ',';  // ',' or '\t'
};

// One row for each bend and one for the last straight: bend, straight, rotation (relative,
// right-hand), bend angle, centreline radius. Numbers to nine decimals. read_table gives the same
// table, within those.
std::string bends_csv(const geometry::BendTable& table, const TableStyle& style = {});

// One row for each point from end A to end B: point, X, Y, Z, centreline radius (empty at the
// ends). Bends above 150° come as two or three corners that meet, as corner_points_mm gives them:
// reading them back gives the same centreline.
std::string corners_csv(const geometry::BendTable& table, const geometry::Frame& start,
                        const TableStyle& style = {});

// A corner with the radius of its bend; ends have none.
struct Corner {
  geometry::Vec3 p_mm = geometry::Vec3::Zero();
  std::optional<double> radius_mm;
};
std::vector<Corner> corners_of(const geometry::BendTable& table, const geometry::Frame& start);

}  // namespace bight::exchange

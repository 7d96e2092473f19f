#include "planning/bent_shape.h"

#include "base/check.h"

namespace bight::planning {

geometry::BendTable with_radii(const geometry::BendTable& drawn,
                               const std::vector<double>& radii_mm) {
  BIGHT_CHECK(radii_mm.size() == drawn.num_bends());
  std::vector<geometry::BendRow> rows = drawn.rows();
  double last_straight_mm = drawn.last_straight_mm();
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const double grown_mm = radii_mm[i] - rows[i].radius_mm;
    const double factor_ratio =
        rows[i].angle > kHoldReachAbove ? 1.0 : base::tan(rows[i].angle / 2.0);
    const double shift_mm = grown_mm * factor_ratio;
    rows[i].straight_mm -= shift_mm;
    if (i + 1 < rows.size()) {
      rows[i + 1].straight_mm -= shift_mm;
    } else {
      last_straight_mm -= shift_mm;
    }
    rows[i].radius_mm = radii_mm[i];
  }
  base::Result<geometry::BendTable> table =
      geometry::BendTable::make(std::move(rows), last_straight_mm);
  BIGHT_CHECK(table.ok());
  return std::move(table).value();
}

}  // namespace bight::planning

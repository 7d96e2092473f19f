#include "inspection/measured.h"

#include <algorithm>

namespace bight::inspection {

bool Measured::any_bend() const {
  return last_straight_mm.has_value() ||
         std::any_of(bends.begin(), bends.end(), [](const MeasuredBend& bend) {
           return bend.straight_mm || bend.rotation || bend.angle;
         });
}

bool Measured::any_point() const {
  return std::any_of(points_mm.begin(), points_mm.end(),
                     [](const auto& point) { return point.has_value(); });
}

bool Measured::any_section() const {
  return std::any_of(bends.begin(), bends.end(), [](const MeasuredBend& bend) {
    return bend.d_max_mm || bend.d_min_mm || bend.wall_mm;
  });
}

std::optional<geometry::BendTable> whole_table(const Measured& measured,
                                               const geometry::BendTable& drawn) {
  if (measured.bends.size() != drawn.num_bends() || !measured.last_straight_mm) {
    return std::nullopt;
  }
  std::vector<geometry::BendRow> rows;
  for (std::size_t i = 0; i < drawn.num_bends(); ++i) {
    const MeasuredBend& bend = measured.bends[i];
    const bool first = i == 0;  // whose rotation is 0 by definition
    if (!bend.straight_mm || !bend.angle || (!bend.rotation && !first)) return std::nullopt;
    rows.push_back({*bend.straight_mm, first ? base::Angle() : *bend.rotation, *bend.angle,
                    drawn.rows()[i].radius_mm});
  }
  const base::Result<geometry::BendTable> table =
      geometry::BendTable::make(std::move(rows), *measured.last_straight_mm);
  // A bend read as 0° would be merged away.
  if (!table.ok() || table->num_bends() != drawn.num_bends()) return std::nullopt;
  return *table;
}

Measured from_table(const geometry::BendTable& table) {
  Measured out;
  for (const geometry::BendRow& row : table.rows()) {
    MeasuredBend bend;
    bend.straight_mm = row.straight_mm;
    bend.rotation = row.rotation;
    bend.angle = row.angle;
    out.bends.push_back(bend);
  }
  out.last_straight_mm = table.last_straight_mm();
  return out;
}

}  // namespace bight::inspection

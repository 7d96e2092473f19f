#include "inspection/reach.h"

#include <algorithm>

#include "base/check.h"
#include "geometry/centreline.h"

namespace bight::inspection {

using base::Angle;
using geometry::Vec3;

namespace {

constexpr Angle kLeastAngle = Angle::degrees(0.01);
constexpr Angle kMostAngle = Angle::degrees(359.99);

}  // namespace

std::vector<EntryOf> entries(const geometry::BendTable& table) {
  std::vector<EntryOf> out;
  for (std::size_t i = 0; i < table.num_bends(); ++i) {
    out.push_back({Entry::kStraight, i});
    if (i > 0) out.push_back({Entry::kRotation, i});
    out.push_back({Entry::kAngle, i});
  }
  out.push_back({Entry::kStraight, table.num_bends()});
  return out;
}

std::vector<Vec3> reach_of_end_b(const geometry::BendTable& table) {
  const geometry::Centreline line = geometry::lay_out(table);
  const Vec3 end_mm = line.end_mm();
  std::vector<Vec3> out;
  for (const EntryOf& entry : entries(table)) {
    if (entry.entry == Entry::kStraight) {
      out.push_back(line.straight(entry.index).start.ahead);
      continue;
    }
    const geometry::Segment& bend = line.bend(entry.index);
    if (entry.entry == Entry::kRotation) {
      out.push_back(bend.start.ahead.cross(end_mm - bend.start.origin_mm));
    } else {
      out.push_back(bend.start.normal.cross(end_mm - bend.centre_mm()));
    }
  }
  return out;
}

geometry::BendTable shifted(const geometry::BendTable& table, const std::vector<double>& amounts) {
  const std::vector<EntryOf> all = entries(table);
  BIGHT_CHECK(amounts.size() == all.size());
  std::vector<geometry::BendRow> rows = table.rows();
  double last_mm = table.last_straight_mm();
  for (std::size_t k = 0; k < all.size(); ++k) {
    const EntryOf& entry = all[k];
    if (entry.entry == Entry::kStraight) {
      (entry.index < rows.size() ? rows[entry.index].straight_mm : last_mm) += amounts[k];
    } else if (entry.entry == Entry::kRotation) {
      rows[entry.index].rotation = rows[entry.index].rotation + Angle::radians(amounts[k]);
    } else {
      rows[entry.index].angle =
          std::clamp(rows[entry.index].angle + Angle::radians(amounts[k]), kLeastAngle, kMostAngle);
    }
  }
  return *geometry::BendTable::make(std::move(rows), last_mm);
}

}  // namespace bight::inspection

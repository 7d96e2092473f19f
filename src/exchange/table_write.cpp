#include "exchange/table_write.h"

#include <fmt/format.h>

#include "base/number.h"
#include "exchange/exact_text.h"
#include "geometry/centreline.h"

namespace bight::exchange {

using base::print_number;
using geometry::BendRow;

namespace {

const char* unit_word(base::LengthUnit unit) {
  return unit == base::LengthUnit::kInch ? "in" : "mm";
}

std::string length_text(double length_mm, base::LengthUnit unit) {
  return print_number(tidied(unit == base::LengthUnit::kInch ? length_mm / 25.4 : length_mm));
}

std::string row_text(const std::vector<std::string>& cells, char separator) {
  std::string text;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    if (i > 0) text += separator;
    text += cells[i];
  }
  return text + "\n";
}

}  // namespace

std::vector<Corner> corners_of(const geometry::BendTable& table, const geometry::Frame& start) {
  std::vector<Corner> corners;
  for (const geometry::Vec3& p_mm : geometry::corner_points_mm(table, start)) {
    corners.push_back({p_mm, std::nullopt});
  }
  // Corners of one bend follow one another; how many there are of each shows in the length.
  std::size_t at = 1;
  for (std::size_t i = 0; i < table.num_bends(); ++i) {
    const geometry::BendTable one = *geometry::BendTable::make({table.rows()[i]}, 0.0);
    const std::size_t num = geometry::corner_points_mm(one).size() - 2;
    for (std::size_t k = 0; k < num; ++k) corners[at++].radius_mm = table.rows()[i].radius_mm;
  }
  return corners;
}

std::string bends_csv(const geometry::BendTable& table, const TableStyle& style) {
  const std::string unit = unit_word(style.unit);
  std::string text =
      row_text({"bend", fmt::format("straight [{}]", unit), "rotation relative [deg]",
                "bend angle [deg]", fmt::format("CLR [{}]", unit)},
               style.separator);
  for (std::size_t i = 0; i < table.num_bends(); ++i) {
    const BendRow& row = table.rows()[i];
    text +=
        row_text({std::to_string(i + 1), length_text(row.straight_mm, style.unit),
                  print_number(tidied(row.rotation.deg())), print_number(tidied(row.angle.deg())),
                  length_text(row.radius_mm, style.unit)},
                 style.separator);
  }
  text += row_text({"last", length_text(table.last_straight_mm(), style.unit)}, style.separator);
  return text;
}

std::string corners_csv(const geometry::BendTable& table, const geometry::Frame& start,
                        const TableStyle& style) {
  const std::string unit = unit_word(style.unit);
  std::string text = row_text({"point", fmt::format("X [{}]", unit), fmt::format("Y [{}]", unit),
                               fmt::format("Z [{}]", unit), fmt::format("CLR [{}]", unit)},
                              style.separator);
  const std::vector<Corner> corners = corners_of(table, start);
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Corner& c = corners[i];
    text += row_text({i == 0                    ? "A"
                      : i + 1 == corners.size() ? "B"
                                                : std::to_string(i),
                      length_text(c.p_mm.x(), style.unit), length_text(c.p_mm.y(), style.unit),
                      length_text(c.p_mm.z(), style.unit),
                      c.radius_mm ? length_text(*c.radius_mm, style.unit) : ""},
                     style.separator);
  }
  return text;
}

}  // namespace bight::exchange

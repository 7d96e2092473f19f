#include "rules/general_tolerance.h"

#include "stock/table.h"

namespace bight::rules {
namespace {

struct Cell {
  double value = 0.0;  // mm or minutes of arc
  stock::Provenance provenance = stock::Provenance::kUnconfirmed;
};

base::Result<std::optional<Cell>> find_cell(std::string_view standard,
                                            std::string_view tolerance_class,
                                            std::string_view quantity, double size_mm) {
  BIGHT_TRY(const base::CsvTable table, stock::built_in_table("tolerances.csv"));
  for (std::size_t i = 0; i < table.num_rows(); ++i) {
    stock::TableRow row(table, i);
    const bool fits = row.text("standard") == standard && row.text("class") == tolerance_class &&
                      row.text("quantity") == quantity;
    const double from_mm = row.number("from_mm");
    const auto to_mm = row.optional_positive("to_mm");
    const Cell cell{row.positive("plus_minus"), row.mark("mark", stock::NumberKind::kMinimum)};
    BIGHT_TRY([[maybe_unused]] const auto read, row.status());
    if (fits && size_mm > from_mm && (!to_mm || size_mm <= *to_mm)) {
      return std::optional<Cell>(cell);
    }
  }
  return std::optional<Cell>();
}

}  // namespace

base::Result<std::optional<LengthTolerance>> length_tolerance_of(std::string_view standard,
                                                                 std::string_view tolerance_class,
                                                                 double length_mm) {
  BIGHT_TRY(const auto cell, find_cell(standard, tolerance_class, "length", length_mm));
  if (!cell) return std::optional<LengthTolerance>();
  return std::optional(LengthTolerance{cell->value, cell->provenance});
}

base::Result<std::optional<AngleTolerance>> angle_tolerance_of(std::string_view standard,
                                                               std::string_view tolerance_class,
                                                               double shorter_leg_mm) {
  BIGHT_TRY(const auto cell, find_cell(standard, tolerance_class, "angle", shorter_leg_mm));
  if (!cell) return std::optional<AngleTolerance>();
  return std::optional(AngleTolerance{base::Angle::degrees(cell->value / 60), cell->provenance});
}

}  // namespace bight::rules

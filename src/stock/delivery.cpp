#include "stock/delivery.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "stock/table.h"

namespace bight::stock {

namespace {

// Sizes converted from inches differ from typed millimetres in the last digits.
constexpr double kSameSize_mm = 1e-6;

std::optional<double> scaled(std::optional<double> value, double factor_ratio) {
  if (value) *value *= factor_ratio;
  return value;
}

// An amount in mm of a tolerance in mm or as a share, within the limits the standard sets.
std::optional<double> amount_mm(std::optional<double> value, bool share, double of_mm,
                                std::optional<double> least_mm, std::optional<double> most_mm) {
  if (!value) return value;
  double allowed_mm = share ? *value * of_mm : *value;
  if (least_mm) allowed_mm = std::max(allowed_mm, *least_mm);
  if (most_mm) allowed_mm = std::min(allowed_mm, *most_mm);
  return allowed_mm;
}

}  // namespace

base::Result<DeliveryTable> DeliveryTable::built_in() {
  BIGHT_TRY(const base::CsvTable table, built_in_table("delivery_tolerances.csv"));
  return read(table);
}

base::Result<DeliveryTable> DeliveryTable::read(const base::CsvTable& table) {
  DeliveryTable delivery;
  for (std::size_t index = 0; index < table.num_rows(); ++index) {
    BIGHT_TRY(Row row, read_row(table, index));
    delivery.rows_.push_back(std::move(row));
  }
  return delivery;
}

base::Result<DeliveryTable::Row> DeliveryTable::read_row(const base::CsvTable& table,
                                                         std::size_t index) {
  TableRow cells(table, index);
  Row row;
  row.standard = cells.text("standard");
  const std::pair<std::string_view, Quantity> quantities[] = {{"od", Quantity::kOd},
                                                              {"side", Quantity::kSide},
                                                              {"wall", Quantity::kWall},
                                                              {"ovality", Quantity::kOvality}};
  const std::string quantity = cells.text("quantity");
  const auto* known = std::find_if(std::begin(quantities), std::end(quantities),
                                   [&](const auto& entry) { return entry.first == quantity; });
  if (known == std::end(quantities)) {
    cells.refuse("quantity", fmt::format("\"{}\" is not a quantity", quantity),
                 "od, side, wall or ovality");
  } else {
    row.quantity = known->second;
  }
  const std::string size_unit = cells.text("size_unit");
  if (size_unit != "mm" && size_unit != "in" && size_unit != "nps") {
    cells.refuse("size_unit", fmt::format("\"{}\" is not a unit of size", size_unit),
                 "mm, in or nps");
  }
  row.by_nominal = size_unit == "nps";
  const double size_unit_mm = size_unit == "mm" ? 1.0 : kInch_mm;
  row.size_from_mm = scaled(cells.optional_number("size_from"), size_unit_mm);
  row.size_to_mm = scaled(cells.optional_positive("size_to"), size_unit_mm);
  row.size_to_included = cells.yes("size_to_included");
  row.wall_from_mm = scaled(cells.optional_number("wall_from"), size_unit_mm);
  row.wall_to_mm = scaled(cells.optional_positive("wall_to"), size_unit_mm);
  const std::string unit = cells.text("tolerance_unit");
  if (unit != "mm" && unit != "in" && unit != "pct") {
    cells.refuse("tolerance_unit", fmt::format("\"{}\" is not a unit of tolerance", unit),
                 "mm, in or pct");
  }
  row.share = unit == "pct";
  const double unit_ratio = unit == "pct" ? 0.01 : unit == "in" ? kInch_mm : 1.0;
  row.plus = scaled(cells.optional_number("plus"), unit_ratio);
  row.minus = scaled(cells.optional_number("minus"), unit_ratio);
  if ((row.plus && *row.plus < 0.0) || (row.minus && *row.minus < 0.0)) {
    cells.refuse("minus", "a tolerance is an amount, without a sign", "a number from zero on");
  }
  row.least_mm = cells.optional_positive("least_mm");
  row.most_mm = cells.optional_positive("most_mm");
  row.provenance = cells.mark("mark", NumberKind::kMinimum);
  row.source = cells.text("source");
  BIGHT_TRY([[maybe_unused]] const base::Done done, cells.status());
  return row;
}

std::vector<std::string> DeliveryTable::standards() const {
  std::vector<std::string> names;
  for (const Row& row : rows_) {
    if (std::find(names.begin(), names.end(), row.standard) == names.end()) {
      names.push_back(row.standard);
    }
  }
  return names;
}

std::vector<double> DeliveryTable::single_walls_mm(std::string_view standard) const {
  std::vector<double> walls_mm;
  for (const Row& row : rows_) {
    if (row.standard == standard && row.wall_from_mm && row.wall_from_mm == row.wall_to_mm) {
      walls_mm.push_back(*row.wall_from_mm);
    }
  }
  std::sort(walls_mm.begin(), walls_mm.end());
  walls_mm.erase(std::unique(walls_mm.begin(), walls_mm.end()), walls_mm.end());
  return walls_mm;
}

const DeliveryTable::Row* DeliveryTable::find(std::string_view standard, Quantity quantity,
                                              double size_mm, double wall_mm,
                                              std::optional<double> nominal_mm) const {
  const auto fits = [&](const Row& row) {
    if (row.standard != standard || row.quantity != quantity) return false;
    if (row.by_nominal && !nominal_mm) return false;
    const double by_mm = row.by_nominal ? *nominal_mm : size_mm;
    if (row.size_from_mm && by_mm < *row.size_from_mm - kSameSize_mm) return false;
    if (row.size_to_mm) {
      const double slack_mm = row.size_to_included ? kSameSize_mm : -kSameSize_mm;
      if (by_mm > *row.size_to_mm + slack_mm) return false;
    }
    const bool one_wall =
        row.wall_from_mm && row.wall_to_mm && *row.wall_from_mm == *row.wall_to_mm;
    if (one_wall) return std::abs(wall_mm - *row.wall_from_mm) <= kSameWall_mm;
    if (row.wall_from_mm && wall_mm <= *row.wall_from_mm + kSameSize_mm) return false;
    return !row.wall_to_mm || wall_mm <= *row.wall_to_mm + kSameSize_mm;
  };
  const auto found = std::find_if(rows_.begin(), rows_.end(), fits);
  return found == rows_.end() ? nullptr : &*found;
}

std::optional<SizeTolerance> DeliveryTable::tolerance(std::string_view standard,
                                                      const Section& section,
                                                      std::optional<double> nominal_mm) const {
  SizeTolerance allowed;
  allowed.standard = std::string(standard);
  allowed.provenance = Provenance::kMeasuredHere;  // strongest, weakened by each row used
  bool any = false;
  const auto take = [&](Quantity quantity, double size_mm, double of_mm,
                        std::optional<double>* minus_mm, std::optional<double>* plus_mm) {
    const Row* row = find(standard, quantity, size_mm, section.wall_mm(), nominal_mm);
    if (row == nullptr) return;
    if (minus_mm != nullptr) {
      *minus_mm = amount_mm(row->minus, row->share, of_mm, row->least_mm, row->most_mm);
    }
    *plus_mm = amount_mm(row->plus, row->share, of_mm, row->least_mm, row->most_mm);
    allowed.provenance = std::max(allowed.provenance, row->provenance);
    if (allowed.source.find(row->source) == std::string::npos) {
      allowed.source += (allowed.source.empty() ? "" : "; ") + row->source;
    }
    any = true;
  };
  const double height_mm = section.height_mm();
  const double width_mm = section.width_mm();
  const double wall_mm = section.wall_mm();
  if (section.round()) {
    take(Quantity::kOd, height_mm, height_mm, &allowed.od_minus_mm, &allowed.od_plus_mm);
    take(Quantity::kOvality, height_mm, height_mm, nullptr, &allowed.ovality_mm);
  } else {
    take(Quantity::kSide, height_mm, height_mm, &allowed.od_minus_mm, &allowed.od_plus_mm);
    take(Quantity::kSide, width_mm, width_mm, &allowed.width_minus_mm, &allowed.width_plus_mm);
  }
  if (section.hollow()) {
    const double size_mm = std::max(height_mm, width_mm);
    take(Quantity::kWall, size_mm, wall_mm, &allowed.wall_minus_mm, &allowed.wall_plus_mm);
  }
  if (!any) return std::nullopt;
  return allowed;
}

}  // namespace bight::stock

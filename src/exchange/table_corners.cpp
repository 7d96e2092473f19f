#include "exchange/table_corners.h"

#include <algorithm>
#include <charconv>
#include <nlohmann/json.hpp>

#include "exchange/exact_value.h"
#include "exchange/table_columns.h"
#include "exchange/table_text.h"

namespace bight::exchange {

using base::Result;
using Json = nlohmann::ordered_json;

namespace {

// What a bare number has to say when it is not in the unit of the document, inches or millimetres.
const char* suffix(TableUnit unit) {
  switch (unit) {
    case TableUnit::kCentimetre:
      return " cm";
    case TableUnit::kMetre:
      return " m";
    case TableUnit::kFoot:
      return " ft";
    default:
      return "";
  }
}

// The cell with a point for the decimal mark; a document has numbers, whose mark is the point.
Json as_typed_value(std::string_view cell, const TableLayout& layout) {
  std::string text(cell);
  if (layout.mark == base::DecimalMark::kComma) std::replace(text.begin(), text.end(), ',', '.');
  if (own_unit(cell)) return text;
  const std::string unit = suffix(layout.length_unit);
  if (!unit.empty()) return text + unit;
  double value = 0.0;
  const char* end = text.data() + text.size();
  const auto [stop, wrong] = std::from_chars(text.data(), end, value, std::chars_format::fixed);
  if (wrong == std::errc() && stop == end) return number_value(value);
  return text;
}

// The rows of the part asked for, without comments.
std::vector<std::size_t> rows_of(const TextGrid& grid, const TableLayout& layout,
                                 const LineOptions& options) {
  const auto part = options.answers.find("part");
  std::vector<std::size_t> rows;
  for (std::size_t row = layout.first_row; row < grid.num_rows(); ++row) {
    if (grid.cell(row, 0).starts_with('#')) continue;
    const bool other = layout.part && part != options.answers.end() &&
                       grid.cell(row, *layout.part) != part->second;
    if (!other) rows.push_back(row);
  }
  return rows;
}

// Radii of all corners between the ends, or false when one of them is nowhere said.
bool write_radii(const TextGrid& grid, const TableLayout& layout,
                 const std::vector<std::size_t>& rows, const LineOptions& options, Json& line) {
  if (rows.size() < 3) return true;
  const auto answer = options.answers.find("radius");
  Json common;
  if (answer != options.answers.end()) {
    TableLayout millimetres;  // what a bare answer is in
    common = as_typed_value(answer->second, millimetres);
    const bool inch =
        layout.length_unit == TableUnit::kInch || layout.length_unit == TableUnit::kFoot;
    if (inch && common.is_number()) common = answer->second + " mm";
  }
  Json radii = Json::array();
  for (std::size_t i = 1; i + 1 < rows.size(); ++i) {
    const std::string_view cell =
        layout.radius ? grid.cell(rows[i], *layout.radius) : std::string_view();
    const Json own = is_blank(cell) ? Json() : as_typed_value(cell, layout);
    const bool none = own.is_null() || own == 0;
    if (none && common.is_null()) return false;
    radii.push_back(none ? common : own);
  }
  const bool one =
      std::all_of(radii.begin(), radii.end(), [&](const Json& r) { return r == radii.front(); });
  if (one) {
    line["radius"] = radii.front();
  } else {
    line["radii"] = std::move(radii);
  }
  return true;
}

}  // namespace

Result<std::optional<Json>> typed_corners(std::string_view bytes, const std::string& file,
                                          const LineOptions& options) {
  BIGHT_TRY(TidyText tidy, tidy_text(bytes, file));
  BIGHT_TRY(const TextGrid grid, TextGrid::cut(std::move(tidy.text), file));
  Asking asking(options.answers);
  BIGHT_TRY(const TableLayout layout, lay_columns(grid, file, asking));
  if (!asking.open().empty() || layout.kind != TableKind::kCorners || layout.radius_to_inside) {
    return std::optional<Json>();
  }
  const std::vector<std::size_t> rows = rows_of(grid, layout, options);
  Json line;
  line["corners"] = Json::array();
  for (const std::size_t row : rows) {
    Json point = Json::array();
    point.push_back(as_typed_value(grid.cell(row, *layout.x), layout));
    point.push_back(as_typed_value(grid.cell(row, *layout.y), layout));
    point.push_back(layout.z ? as_typed_value(grid.cell(row, *layout.z), layout) : Json(0));
    line["corners"].push_back(std::move(point));
  }
  if (!write_radii(grid, layout, rows, options, line)) return std::optional<Json>();
  return std::optional(std::move(line));
}

}  // namespace bight::exchange

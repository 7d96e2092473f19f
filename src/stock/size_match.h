// Looking sizes up in the tables: by measure, and what is nearest.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "stock/size_tables.h"

namespace bight::stock {

// Outside sizes this close are the same: the tables print them to 0.1 mm, inch tables to 0.001 in.
// For walls see kSameWall_mm.
inline constexpr double kSameOutside_mm = 0.02;

using RowFilter = std::function<bool(const SizeRow&)>;

// Round tube of the tables with this outside diameter, and this wall if there is one.
std::vector<SizeRow> round_tubes(const SizeTables& tables, double od_mm,
                                 std::optional<double> wall_mm, const RowFilter& filter);

// Square and rectangular tube of the tables with these sides, either way round; a row found the
// other way round comes turned to the sides as given.
std::vector<SizeRow> box_tubes(const SizeTables& tables, double height_mm, double width_mm,
                               double wall_mm, const RowFilter& filter);

// The row for the same stock with height and width exchanged.
SizeRow turned(const SizeRow& row);

// Inch round tube with a wall that ASTM A513 gives tolerances for: all such walls, or the one.
// Empty unless the outside diameter is a whole number of sixteenths.
std::vector<SizeRow> mechanical_tubes(const SizeTables& tables, double od_mm,
                                      std::optional<double> wall_mm);

// A preferred outside diameter with a preferred wall of EN 10220; nothing if either is not.
std::optional<SizeRow> preferred_tube(const SizeTables& tables, double od_mm, double wall_mm);

// The sizes of the tables closest to a round or a box section, nearest first, each section once,
// at most `most`. An outside size weighs four times as much as a wall that is off by as many per
// cent: dies go by it.
std::vector<SizeRow> nearest_sizes(const SizeTables& tables, const Section& wanted,
                                   const RowFilter& filter, std::size_t most = 5);

// The wall of a gauge; nothing if the system has no such number.
std::optional<GaugeRow> find_gauge(const SizeTables& tables, std::string_view system,
                                   std::string_view name);

// The gauges of BWG that have this wall, "16 BWG"; empty without one.
std::string gauge_words(const SizeTables& tables, double wall_mm);

// "1-1/2" for 38.1 mm if it is a whole number of 16ths of an inch, else decimal inches.
std::string inch_words(double length_mm);

}  // namespace bight::stock

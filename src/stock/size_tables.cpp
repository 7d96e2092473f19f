#include "stock/size_tables.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "base/length.h"
#include "stock/table.h"

namespace bight::stock {

namespace {

std::string short_number(double value) { return fmt::format("{:.6g}", value); }

// What every size table is read with: the row under the cursor and the tables read before it.
struct Reading {
  TableRow& row;
  const SizeTables& tables;
};

Sourced sourced(TableRow& row, double value_mm, std::string_view mark_column) {
  return {value_mm, row.mark(mark_column), row.text("source")};
}

// The name of a size in inches ("1-1/2") as a length; refuses what is none.
double nominal_mm(TableRow& row, std::string_view column) {
  const std::string name = row.text(column);
  const auto length = base::parse_length_mm(dashed(name), {base::LengthUnit::kInch});
  if (length.ok()) return *length;
  row.refuse(column, length.failure().message, length.failure().remedy);
  return 0.0;
}

// The section, or a placeholder after refusing the row.
Section taken(TableRow& row, std::string_view column, base::Result<Section> section) {
  if (section.ok()) return std::move(section).value();
  row.refuse(column, section.failure().message, section.failure().remedy);
  return *Section::round_bar(1.0);
}

SizeRow round_size(TableRow& row, SizeFamily family, double od_mm, double wall_mm,
                   std::string_view od_mark, std::string_view wall_mark) {
  return {.family = family,
          .section = taken(row, "source", Section::round_tube(od_mm, wall_mm)),
          .outside_mm = sourced(row, od_mm, od_mark),
          .wall_mm = sourced(row, wall_mm, wall_mark)};
}

SizeTolerance own_tolerance(const SizeRow& size, double od_minus_mm, double od_plus_mm,
                            std::string_view state) {
  SizeTolerance tolerance;
  tolerance.standard = size.standard;
  if (!state.empty()) tolerance.standard += ", " + std::string(state);
  tolerance.od_minus_mm = od_minus_mm;
  tolerance.od_plus_mm = od_plus_mm;
  tolerance.provenance = size.outside_mm.provenance;
  tolerance.source = size.outside_mm.source;
  return tolerance;
}

SizeRow read_pipe_inch(const Reading& read) {
  TableRow& row = read.row;
  SizeRow size = round_size(row, SizeFamily::kPipeInch, row.positive("od_mm"),
                            row.positive("wall_mm"), "mark", "mark");
  size.standard = row.text("standard");
  size.name = dashed(row.text("nps"));
  size.nominal_mm = nominal_mm(row, "nps");
  size.number = static_cast<int>(row.positive("dn"));
  size.code = row.text("schedule");
  size.inch_outside_mm = row.positive("od_in") * kInch_mm;
  size.inch_wall_mm = row.positive("wall_in") * kInch_mm;
  const bool number = !size.code.empty() && size.code.front() >= '0' && size.code.front() <= '9';
  size.designation = fmt::format("NPS {} {}{} pipe", size.name, number ? "Sch " : "", size.code);
  return size;
}

SizeRow read_pipe_threadable(const Reading& read) {
  TableRow& row = read.row;
  SizeRow size = round_size(row, SizeFamily::kPipeThreadable, row.positive("od_mm"),
                            row.positive("wall_mm"), "od_mark", "mark");
  size.standard = "EN 10255";
  size.name = dashed(row.text("thread"));
  size.nominal_mm = nominal_mm(row, "thread");
  size.number = static_cast<int>(row.positive("dn"));
  size.code = row.text("series");
  size.mass_kg_per_m = row.optional_positive("mass_kg_per_m");
  const double od_mm = size.outside_mm.value;
  size.own_tolerances = {own_tolerance(size, od_mm - row.positive("od_min_mm"),
                                       row.positive("od_max_mm") - od_mm, "")};
  size.designation = fmt::format("DN {} {} pipe EN 10255", size.number, size.code);
  return size;
}

SizeRow read_tube_hydraulic(const Reading& read) {
  TableRow& row = read.row;
  SizeRow size = round_size(row, SizeFamily::kTubeHydraulic, row.positive("od_mm"),
                            row.positive("wall_mm"), "mark", "mark");
  size.standard = "EN 10305-4";
  size.mass_kg_per_m = row.optional_positive("mass_kg_per_m");
  const double allowed_mm = row.positive("od_tolerance_mm");
  SizeTolerance tolerance = own_tolerance(size, allowed_mm, allowed_mm, "");
  // EN 10305-4 tube is EN 10305-1 tube in hydraulic sizes: its wall goes by part 1.
  const auto wall = read.tables.delivery.tolerance("EN 10305-1", size.section);
  if (wall) {
    tolerance.wall_minus_mm = wall->wall_minus_mm;
    tolerance.wall_plus_mm = wall->wall_plus_mm;
    tolerance.source += "; wall: EN 10305-1, " + wall->source;
  }
  size.own_tolerances = {std::move(tolerance)};
  size.designation = size.section.text() + " hydraulic tube EN 10305-4";
  return size;
}

SizeRow read_copper_inch(const Reading& read) {
  TableRow& row = read.row;
  SizeRow size = round_size(row, SizeFamily::kCopperInch, row.positive("od_in") * kInch_mm,
                            row.positive("wall_in") * kInch_mm, "od_mark", "wall_mark");
  size.standard = "ASTM B88";
  size.name = dashed(row.text("nominal_in"));
  size.nominal_mm = nominal_mm(row, "nominal_in");
  size.code = row.text("type");
  for (const std::string state : {"annealed", "drawn"}) {
    const double allowed_mm = row.positive("od_tolerance_" + state + "_in") * kInch_mm;
    SizeTolerance tolerance = own_tolerance(size, allowed_mm, allowed_mm, state);
    const std::optional<double> wall_in = row.optional_positive("wall_tolerance_in");
    if (wall_in) tolerance.wall_minus_mm = tolerance.wall_plus_mm = *wall_in * kInch_mm;
    size.own_tolerances.push_back(std::move(tolerance));
  }
  size.designation = fmt::format("{} in copper tube type {}", size.name, size.code);
  return size;
}

SizeRow read_copper_metric(const Reading& read) {
  TableRow& row = read.row;
  SizeRow size = round_size(row, SizeFamily::kCopperMetric, row.positive("od_mm"),
                            row.positive("wall_mm"), "mark", "mark");
  size.standard = row.text("standard");
  size.code = row.text("type");
  const std::optional<double> allowed_mm = row.optional_positive("mean_od_tolerance_mm");
  if (allowed_mm) {
    size.own_tolerances = {own_tolerance(size, *allowed_mm, *allowed_mm, "mean diameter")};
  }
  const std::string type = size.code == "any"           ? "any temper"
                           : size.standard == "EN 1057" ? size.code
                                                        : "type " + size.code;
  size.designation = fmt::format("{} copper tube {} {}", size.section.text(), size.standard, type);
  return size;
}

SizeRow read_conduit(const Reading& read) {
  TableRow& row = read.row;
  SizeRow size = round_size(row, SizeFamily::kConduit, row.positive("od_in") * kInch_mm,
                            row.positive("wall_in") * kInch_mm, "od_mark", "wall_mark");
  size.standard = row.text("standard");
  size.name = dashed(row.text("trade_size"));
  size.nominal_mm = nominal_mm(row, "trade_size");
  size.number = static_cast<int>(row.positive("designator"));
  size.code = row.text("kind");
  size.designation = fmt::format("{} {} conduit", size.name, size.code);
  return size;
}

SizeRow hollow(const Reading& read, SizeFamily family, const std::string& unit, double unit_mm) {
  TableRow& row = read.row;
  const double height_mm = row.positive("height_" + unit) * unit_mm;
  const double width_mm = row.positive("width_" + unit) * unit_mm;
  const double wall_mm = row.positive("wall_" + unit) * unit_mm;
  const std::string shape = row.text("shape");
  const std::string standard = row.text("standard");
  if (shape != "CHS" && shape != "SHS" && shape != "RHS") {
    row.refuse("shape", fmt::format("\"{}\" is not a shape", shape), "CHS, SHS or RHS");
  }
  if ((shape == "RHS") == (height_mm == width_mm)) {
    row.refuse("shape", "the shape contradicts the sides", "RHS has two sides, CHS and SHS one");
  }
  std::optional<CornerRange> corner;
  if (shape != "CHS") {
    corner = corner_of(read.tables.corners, standard, height_mm, width_mm, wall_mm);
    if (!corner) row.refuse("standard", "no corner radius is known for it", "a row in corners");
  }
  SizeRow size{.family = family,
               .section = taken(
                   row, "source",
                   corner ? Section::rect_tube(height_mm, width_mm, wall_mm, corner->used_mm.value)
                          : Section::round_tube(height_mm, wall_mm)),
               .outside_mm = sourced(row, height_mm, "mark"),
               .wall_mm = sourced(row, wall_mm, "mark")};
  size.standard = standard;
  size.code = shape;
  size.corner = corner;
  std::string sizes = short_number(height_mm / unit_mm);
  if (shape != "CHS") sizes += " x " + short_number(width_mm / unit_mm);
  sizes += " x " + short_number(wall_mm / unit_mm);
  size.designation =
      fmt::format("{}{} {} {}", sizes, unit == "in" ? " in" : "", shape, size.standard);
  return size;
}

SizeRow read_hollow_metric(const Reading& read) {
  return hollow(read, SizeFamily::kHollowMetric, "mm", 1.0);
}

SizeRow read_hollow_inch(const Reading& read) {
  return hollow(read, SizeFamily::kHollowInch, "in", kInch_mm);
}

GaugeRow read_gauge(const Reading& read) {
  return {read.row.text("system"), read.row.text("gauge"),
          sourced(read.row, read.row.positive("wall_mm"), "mark")};
}

PreferredRow read_preferred(const Reading& read) {
  const std::string kind = read.row.text("kind");
  if (kind != "od" && kind != "wall") read.row.refuse("kind", "neither od nor wall", "od or wall");
  const std::optional<double> series = read.row.optional_positive("series");
  return {kind == "wall", static_cast<int>(series.value_or(0.0)),
          sourced(read.row, read.row.positive("value_mm"), "mark")};
}

PrecisionRow read_precision(const Reading& read) {
  return {sourced(read.row, read.row.positive("od_mm"), "od_mark"),
          sourced(read.row, read.row.positive("od_tolerance_mm"), "tolerance_mark")};
}

CornerRow read_corner(const Reading& read) {
  TableRow& row = read.row;
  const std::optional<double> over_mm = row.optional_number("wall_over_mm");
  const std::optional<double> least_ratio = row.optional_number("least_ratio");
  CornerRow made{
      row.text("standard"),      over_mm.value_or(0.0),      row.optional_positive("wall_to_mm"),
      least_ratio.value_or(0.0), row.positive("most_ratio"), row.mark("mark"),
      row.text("source")};
  if (made.least_ratio < 0.0 || made.least_ratio > made.most_ratio) {
    row.refuse("least_ratio", "not between zero and the most", "a number from zero up");
  }
  return made;
}

RadiusRow read_copper_radius(const Reading& read) {
  return {read.row.positive("od_mm"), "", "copper tube EN 1057 on a bending tool",
          sourced(read.row, read.row.positive("radius_mm"), "mark")};
}

RadiusRow read_conduit_one_shot(const Reading& read) {
  return {0.0, dashed(read.row.text("trade_size")), "NEC, one-shot and full-shoe benders",
          sourced(read.row, read.row.positive("one_shot_in") * kInch_mm, "one_shot_mark")};
}

RadiusRow read_conduit_other(const Reading& read) {
  return {0.0, dashed(read.row.text("trade_size")), "NEC, other bends",
          sourced(read.row, read.row.positive("other_in") * kInch_mm, "other_mark")};
}

// Appends what `make` reads from each row of a built-in file.
template <typename Row, typename Make>
base::Status append(SizeTables& tables, std::vector<Row> SizeTables::*rows, std::string_view file,
                    Make make) {
  BIGHT_TRY(const base::CsvTable table, built_in_table(file));
  for (std::size_t index = 0; index < table.num_rows(); ++index) {
    TableRow row(table, index);
    Row made = make(Reading{row, tables});
    base::Status status = row.status();
    if (!status.ok()) return status;
    (tables.*rows).push_back(std::move(made));
  }
  return base::Done{};
}

}  // namespace

std::string dashed(std::string_view name) {
  std::string text(name);
  std::replace(text.begin(), text.end(), ' ', '-');
  return text;
}

std::optional<CornerRange> corner_of(const std::vector<CornerRow>& corners,
                                     std::string_view standard, double height_mm, double width_mm,
                                     double wall_mm) {
  const auto fits = [&](const CornerRow& row) {
    return row.standard == standard && wall_mm > row.wall_over_mm &&
           (!row.wall_to_mm || wall_mm <= *row.wall_to_mm);
  };
  const auto row = std::find_if(corners.begin(), corners.end(), fits);
  if (row == corners.end()) return std::nullopt;
  CornerRange range;
  range.least_mm = row->least_ratio * wall_mm;
  range.most_mm = row->most_ratio * wall_mm;
  const double middle_mm = (range.least_mm + range.most_mm) / 2.0;
  const double room_mm = std::min(height_mm, width_mm) / 2.0;
  range.cut_to_fit = middle_mm > room_mm;
  range.used_mm = {std::min(middle_mm, room_mm), row->provenance, row->source};
  return range;
}

namespace {

base::Result<SizeTables> read_built_in() {
  SizeTables t;
  BIGHT_TRY(t.delivery, DeliveryTable::built_in());
  const auto read = [&](auto member, std::string_view file, auto make) {
    return append(t, member, file, make);
  };
  // Corners and deliveries first: the size tables use them.
  const base::Status statuses[] = {
      read(&SizeTables::corners, "corner_radii.csv", read_corner),
      read(&SizeTables::gauges, "gauges.csv", read_gauge),
      read(&SizeTables::preferred, "preferred_metric.csv", read_preferred),
      read(&SizeTables::precision, "tube_precision_metric.csv", read_precision),
      read(&SizeTables::copper_radii, "copper_bend_radii.csv", read_copper_radius),
      read(&SizeTables::conduit_radii, "conduit_radii.csv", read_conduit_one_shot),
      read(&SizeTables::conduit_radii, "conduit_radii.csv", read_conduit_other),
      read(&SizeTables::sizes, "pipe_inch.csv", read_pipe_inch),
      read(&SizeTables::sizes, "pipe_threadable_metric.csv", read_pipe_threadable),
      read(&SizeTables::sizes, "tube_hydraulic_metric.csv", read_tube_hydraulic),
      read(&SizeTables::sizes, "copper_metric.csv", read_copper_metric),
      read(&SizeTables::sizes, "copper_inch.csv", read_copper_inch),
      read(&SizeTables::sizes, "conduit_inch.csv", read_conduit),
      read(&SizeTables::sizes, "hollow_metric.csv", read_hollow_metric),
      read(&SizeTables::sizes, "hollow_inch.csv", read_hollow_inch)};
  for (const base::Status& status : statuses) {
    if (!status.ok()) return status.failure();
  }
  return t;
}

}  // namespace

// Read once: the tables travel inside the program and never change.
base::Result<SizeTables> SizeTables::built_in() {
  static const base::Result<SizeTables> kTables = read_built_in();
  return kTables;
}

}  // namespace bight::stock

#include "stock/stock_answer.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "stock/lookup.h"
#include "stock/size_match.h"

namespace bight::stock {

namespace {

void add_tolerance(StockAnswer& answer, const SizeTables& tables, std::string_view standard) {
  const SizeRow& row = answer.size;
  const auto nominal_mm =
      row.nominal_mm > 0.0 ? std::optional<double>(row.nominal_mm) : std::optional<double>();
  auto tolerance = tables.delivery.tolerance(standard, row.section, nominal_mm);
  if (tolerance) answer.tolerances.push_back(*std::move(tolerance));
}

// Precision tube has its outside diameters and their tolerance in a table of its own.
void add_precision_tolerance(StockAnswer& answer, const SizeTables& tables) {
  const Section& section = answer.size.section;
  if (section.kind() != SectionKind::kRoundTube) return;
  for (const PrecisionRow& row : tables.precision) {
    if (std::abs(row.od_mm.value - section.height_mm()) > kSameOutside_mm) continue;
    SizeTolerance tolerance;
    tolerance.standard = "EN 10305-1, cold drawn";
    tolerance.od_minus_mm = tolerance.od_plus_mm = row.tolerance_mm.value;
    tolerance.provenance = row.tolerance_mm.provenance;
    tolerance.source = row.tolerance_mm.source;
    const auto wall = tables.delivery.tolerance("EN 10305-1", section);
    if (wall) {
      tolerance.wall_minus_mm = wall->wall_minus_mm;
      tolerance.wall_plus_mm = wall->wall_plus_mm;
      tolerance.source += "; wall: " + wall->source;
    }
    answer.tolerances.push_back(std::move(tolerance));
  }
}

void add_tolerances(StockAnswer& answer, const SizeTables& tables) {
  const SizeRow& row = answer.size;
  answer.tolerances = row.own_tolerances;
  switch (row.family) {
    case SizeFamily::kPipeInch:
      if (row.standard == "ASME B36.10M") add_tolerance(answer, tables, "ASTM A53");
      return add_tolerance(answer, tables, "ASTM A999");
    case SizeFamily::kHollowMetric:
      return add_tolerance(answer, tables, row.standard);
    case SizeFamily::kTubePreferred:
      add_tolerance(answer, tables, "EN 10216-1");
      return add_precision_tolerance(answer, tables);
    case SizeFamily::kTubeMechanical:
      add_tolerance(answer, tables, "ASTM A513 type 5");
      add_tolerance(answer, tables, "ASTM A513 type 1a");
      return add_tolerance(answer, tables, "ASTM A269");
    case SizeFamily::kUnlisted:
      return add_precision_tolerance(answer, tables);
    case SizeFamily::kPipeThreadable:
    case SizeFamily::kTubeHydraulic:
    case SizeFamily::kCopperInch:
    case SizeFamily::kCopperMetric:
    case SizeFamily::kConduit:
    case SizeFamily::kHollowInch:
      return;
  }
}

void add_radii(StockAnswer& answer, const SizeTables& tables) {
  const SizeRow& row = answer.size;
  if (row.family == SizeFamily::kCopperMetric && row.standard == "EN 1057") {
    for (const RadiusRow& radius : tables.copper_radii) {
      const bool same = std::abs(radius.outside_mm - row.outside_mm.value) <= kSameOutside_mm;
      if (same) answer.radii.push_back(radius);
    }
  }
  if (row.family == SizeFamily::kConduit) {
    for (const RadiusRow& radius : tables.conduit_radii) {
      if (radius.trade_size == row.name) answer.radii.push_back(radius);
    }
  }
}

void add_corner_note(StockAnswer& answer) {
  const auto& corner = answer.size.corner;
  if (!corner) return;
  std::string text = fmt::format(
      "outer corner radius {} mm, the middle of {} to {} mm ({}, {}): measure the "
      "corner before a die is chosen",
      plain_number(corner->used_mm.value), plain_number(corner->least_mm),
      plain_number(corner->most_mm), words(corner->used_mm.provenance), corner->used_mm.source);
  if (corner->cut_to_fit) text += "; the middle does not fit and was cut to half the smaller side";
  answer.notes.push_back(corner->cut_to_fit ? warning(std::move(text)) : fact(std::move(text)));
}

// Schedules with and without the S are the same wall in small pipe only.
void add_schedule_note(StockAnswer& answer, const SizeTables& tables) {
  const SizeRow& row = answer.size;
  if (row.family != SizeFamily::kPipeInch) return;
  const bool s = row.code.back() == 'S' && row.code != "XS" && row.code != "XXS";
  const std::string other = s ? row.code.substr(0, row.code.size() - 1) : row.code + "S";
  for (const SizeRow& twin : tables.sizes) {
    const bool same_pipe = twin.family == row.family && twin.nominal_mm == row.nominal_mm;
    if (!same_pipe || twin.code != other) continue;
    if (std::abs(twin.wall_mm.value - row.wall_mm.value) <= kSameWall_mm) continue;
    answer.notes.push_back(warning(
        fmt::format("schedule {} has a wall of {} mm here, schedule {} one of {} mm", row.code,
                    plain_number(row.wall_mm.value), twin.code, plain_number(twin.wall_mm.value))));
  }
}

void add_unconfirmed_note(StockAnswer& answer) {
  const bool outside = answer.size.outside_mm.provenance == Provenance::kUnconfirmed;
  const bool wall = answer.size.wall_mm.provenance == Provenance::kUnconfirmed;
  if (!outside && !wall) return;
  const char* what = outside && wall ? "outside size and wall are"
                     : outside       ? "the outside size is"
                                     : "the wall is";
  answer.notes.push_back(warning(
      fmt::format("{} unconfirmed, recalled and not read in a source: measure the tube", what)));
}

void add_family_note(StockAnswer& answer, const SizeTables& tables) {
  const SizeRow& row = answer.size;
  if (row.family == SizeFamily::kTubeMechanical) {
    const std::string gauge = gauge_words(tables, row.wall_mm.value);
    if (!gauge.empty()) answer.notes.push_back(fact("the wall is " + gauge));
    answer.notes.push_back(
        fact("ASTM A513 gives tolerances for this wall and range of outside diameters, no sizes"));
  }
  if (row.family == SizeFamily::kTubePreferred) {
    answer.notes.push_back(
        fact(fmt::format("an outside diameter of series {} and a preferred wall; not every such "
                         "pair is in EN 10220",
                         row.number)));
  }
}

}  // namespace

StockAnswer listed_answer(const SizeTables& tables, const SizeRow& row) {
  StockAnswer answer{.size = row, .listed = true};
  add_tolerances(answer, tables);
  add_radii(answer, tables);
  add_family_note(answer, tables);
  add_schedule_note(answer, tables);
  add_unconfirmed_note(answer);
  add_corner_note(answer);
  return answer;
}

StockAnswer unlisted_answer(const SizeTables& tables, Section section,
                            std::optional<CornerRange> corner) {
  const auto typed = [](double value_mm) {
    return Sourced{value_mm, Provenance::kUnconfirmed, "as typed"};
  };
  SizeRow row{.family = SizeFamily::kUnlisted,
              .designation = section.text(),
              .section = section,
              .outside_mm = typed(section.height_mm()),
              .wall_mm = typed(section.wall_mm()),
              .corner = std::move(corner)};
  StockAnswer answer{.size = std::move(row), .listed = false};
  add_tolerances(answer, tables);
  add_corner_note(answer);
  return answer;
}

std::string both_units(double length_mm) {
  return fmt::format("{} mm ({} in)", plain_number(length_mm), inch_words(length_mm));
}

}  // namespace bight::stock

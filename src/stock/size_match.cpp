#include "stock/size_match.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "base/length.h"
#include "stock/table.h"

namespace bight::stock {

namespace {

constexpr std::string_view kMechanical = "ASTM A513 type 5";

bool same(double a_mm, double b_mm, double slack_mm) { return std::abs(a_mm - b_mm) <= slack_mm; }

// Whether a length is a whole number of the given parts of an inch, to 0.01 mm.
bool whole_parts(double length_mm, int parts) {
  const double count_ratio = length_mm / kInch_mm * parts;
  return std::abs(count_ratio - std::round(count_ratio)) * kInch_mm / parts <= 0.01;
}

SizeRow mechanical_row(const SizeTables& tables, double od_mm, double wall_mm, Section section) {
  const auto tolerance = tables.delivery.tolerance(kMechanical, section);
  // A limit that was read is a minimum; the nominal size it is given for is not.
  const Provenance provenance = tolerance->provenance == Provenance::kPublishedMinimum
                                    ? Provenance::kPublishedTypical
                                    : tolerance->provenance;
  const Sourced known{0.0, provenance, tolerance->source};
  SizeRow row{.family = SizeFamily::kTubeMechanical,
              .standard = "ASTM A513",
              .section = std::move(section),
              .outside_mm = known,
              .wall_mm = known};
  row.outside_mm.value = od_mm;
  row.wall_mm.value = wall_mm;
  row.designation =
      fmt::format("{} x {:.3f} in tube ASTM A513", inch_words(od_mm), wall_mm / kInch_mm);
  return row;
}

// How far two sections are apart; outside sizes weigh four times as much as the wall.
double distance(const Section& a, const Section& b) {
  const auto apart = [](double x_mm, double y_mm) { return std::abs(std::log(x_mm / y_mm)); };
  const double outside = apart(a.height_mm(), b.height_mm()) + apart(a.width_mm(), b.width_mm());
  return 2.0 * outside + apart(a.wall_mm(), b.wall_mm());
}

// The smaller of the distances of a section and of the same stock turned.
double either_way(const Section& a, const Section& b) {
  return std::min(distance(a, b), distance(a.turned(), b));
}

}  // namespace

std::vector<SizeRow> round_tubes(const SizeTables& tables, double od_mm,
                                 std::optional<double> wall_mm, const RowFilter& filter) {
  const auto fits = [&](const SizeRow& row) {
    if (row.section.kind() != SectionKind::kRoundTube || !filter(row)) return false;
    const bool od = same(od_mm, row.outside_mm.value, kSameOutside_mm);
    const bool wall = !wall_mm || same(*wall_mm, row.wall_mm.value, kSameWall_mm);
    if (od && wall) return true;
    if (!row.inch_outside_mm) return false;
    return same(od_mm, *row.inch_outside_mm, kSameOutside_mm) &&
           (!wall_mm || same(*wall_mm, *row.inch_wall_mm, kSameWall_mm));
  };
  std::vector<SizeRow> found;
  std::copy_if(tables.sizes.begin(), tables.sizes.end(), std::back_inserter(found), fits);
  return found;
}

SizeRow turned(const SizeRow& row) {
  SizeRow other = row;
  other.section = row.section.turned();
  other.outside_mm.value = other.section.height_mm();
  return other;
}

std::vector<SizeRow> box_tubes(const SizeTables& tables, double height_mm, double width_mm,
                               double wall_mm, const RowFilter& filter) {
  std::vector<SizeRow> found;
  for (const SizeRow& row : tables.sizes) {
    if (row.section.kind() != SectionKind::kRectTube || !filter(row)) continue;
    if (!same(wall_mm, row.wall_mm.value, kSameWall_mm)) continue;
    const Section& s = row.section;
    const auto sides = [&](double first_mm, double second_mm) {
      return same(first_mm, s.height_mm(), kSameOutside_mm) &&
             same(second_mm, s.width_mm(), kSameOutside_mm);
    };
    if (sides(height_mm, width_mm)) {
      found.push_back(row);
    } else if (sides(width_mm, height_mm)) {
      found.push_back(turned(row));
    }
  }
  return found;
}

std::vector<SizeRow> mechanical_tubes(const SizeTables& tables, double od_mm,
                                      std::optional<double> wall_mm) {
  std::vector<SizeRow> found;
  if (!whole_parts(od_mm, 16)) return found;
  const double exact_mm = std::round(od_mm / kInch_mm * 16.0) / 16.0 * kInch_mm;
  for (const double named_mm : tables.delivery.single_walls_mm(kMechanical)) {
    if (wall_mm && !same(*wall_mm, named_mm, kSameWall_mm)) continue;
    auto section = Section::round_tube(exact_mm, named_mm);
    if (!section.ok()) continue;
    const auto tolerance = tables.delivery.tolerance(kMechanical, *section);
    if (!tolerance || !tolerance->wall_minus_mm || !tolerance->od_minus_mm) continue;
    found.push_back(mechanical_row(tables, exact_mm, named_mm, std::move(section).value()));
  }
  return found;
}

std::optional<SizeRow> preferred_tube(const SizeTables& tables, double od_mm, double wall_mm) {
  const PreferredRow* od = nullptr;
  const PreferredRow* wall = nullptr;
  for (const PreferredRow& row : tables.preferred) {
    if (row.wall && same(wall_mm, row.size_mm.value, kSameWall_mm)) wall = &row;
    if (!row.wall && same(od_mm, row.size_mm.value, kSameOutside_mm)) od = &row;
  }
  if (od == nullptr || wall == nullptr) return std::nullopt;
  auto section = Section::round_tube(od->size_mm.value, wall->size_mm.value);
  if (!section.ok()) return std::nullopt;
  SizeRow row{.family = SizeFamily::kTubePreferred,
              .standard = "EN 10220",
              .section = std::move(section).value(),
              .outside_mm = od->size_mm,
              .wall_mm = wall->size_mm};
  row.number = od->series;
  row.designation = row.section.text() + " tube EN 10220";
  return row;
}

std::vector<SizeRow> nearest_sizes(const SizeTables& tables, const Section& wanted,
                                   const RowFilter& filter, std::size_t most) {
  std::vector<SizeRow> inch_tubes;  // on either side of the size as typed
  if (wanted.kind() == SectionKind::kRoundTube) {
    const double sixteenths = wanted.height_mm() / kInch_mm * 16.0;
    for (const double count : {std::floor(sixteenths), std::ceil(sixteenths)}) {
      for (SizeRow& row : mechanical_tubes(tables, count / 16.0 * kInch_mm, std::nullopt)) {
        inch_tubes.push_back(std::move(row));
      }
    }
  }
  std::vector<std::pair<double, const SizeRow*>> ranked;
  const std::vector<SizeRow>* const sources[] = {&tables.sizes, &inch_tubes};
  for (const std::vector<SizeRow>* rows : sources) {
    for (const SizeRow& row : *rows) {
      if (row.section.kind() != wanted.kind() || !filter(row)) continue;
      ranked.emplace_back(either_way(row.section, wanted), &row);
    }
  }
  std::stable_sort(ranked.begin(), ranked.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  std::vector<SizeRow> near;
  for (const auto& [apart, row] : ranked) {
    if (near.size() == most) break;
    const bool as_it_is = distance(row->section, wanted) <= apart;
    SizeRow candidate = as_it_is ? *row : turned(*row);
    const bool known = std::any_of(near.begin(), near.end(), [&](const SizeRow& other) {
      return other.section == candidate.section;
    });
    if (!known) near.push_back(std::move(candidate));
  }
  return near;
}

std::optional<GaugeRow> find_gauge(const SizeTables& tables, std::string_view system,
                                   std::string_view name) {
  const auto found =
      std::find_if(tables.gauges.begin(), tables.gauges.end(),
                   [&](const GaugeRow& row) { return row.system == system && row.name == name; });
  if (found == tables.gauges.end()) return std::nullopt;
  return *found;
}

std::string gauge_words(const SizeTables& tables, double wall_mm) {
  for (const GaugeRow& row : tables.gauges) {
    if (row.system == "BWG" && same(wall_mm, row.wall_mm.value, kSameWall_mm)) {
      return row.name + " BWG";
    }
  }
  return {};
}

std::string inch_words(double length_mm) {
  base::LengthStyle style{.unit = base::LengthUnit::kInch,
                          .form = base::LengthStyle::Form::kFraction,
                          .denominator = 16,
                          .with_unit = false};
  const base::PrintedLength fraction = base::print_length(length_mm, style);
  if (std::abs(fraction.remainder_mm) <= 0.01) return fraction.text;
  return fmt::format("{:.4g}", length_mm / kInch_mm);
}

}  // namespace bight::stock

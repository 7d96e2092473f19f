#include "stock/lookup.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "stock/stock_answer.h"
#include "stock/table.h"

namespace bight::stock {

namespace {

using Unit = TypedSize::Unit;

// What a bare number can mean at all. Small numbers are no tube in millimetres, large ones none in
// inches; the largest listed are 1219 mm and 24 in (EN 10210-2, ASME B36.10M).
constexpr double kLeastOutside_mm = 3.0;
constexpr double kLeastWall_mm = 0.25;
constexpr double kMostOutside_mm = 2000.0;
constexpr double kMostWall_mm = 100.0;
constexpr double kMostOutsideInInches_mm = 24.0 * kInch_mm;
constexpr double kMostWallInInches_mm = kInch_mm;

// The unit a standard's sizes are written in; nothing if no standard or kind was said.
std::optional<bool> implied_inches(const StockQuery& query) {
  const std::string& standard = query.standard;
  const bool temper = !query.type.empty() && (query.type.front() == 'R' || query.type == "any");
  if (query.hydraulic || temper || standard.rfind("EN ", 0) == 0 || standard == "ASTM B88M") {
    return false;
  }
  if (standard == "ASTM A500" || standard == "ASTM A513" || standard == "ASTM B88") return true;
  return std::nullopt;
}

const char* unit_words(bool in_inches) { return in_inches ? "inches" : "millimetres"; }

}  // namespace

StockNote fact(std::string text) { return {StockNote::Kind::kFact, std::move(text)}; }
StockNote warning(std::string text) { return {StockNote::Kind::kWarning, std::move(text)}; }

std::string plain_number(double value) { return fmt::format("{:.6g}", value); }

base::Failure incomplete(std::string message, std::string remedy) {
  return {"stock.incomplete", "", std::move(message), std::move(remedy)};
}

bool is_copper(const SizeRow& row) {
  return row.family == SizeFamily::kCopperInch || row.family == SizeFamily::kCopperMetric;
}

bool is_pipe(const SizeRow& row) {
  return row.family == SizeFamily::kPipeInch || row.family == SizeFamily::kPipeThreadable;
}

bool Lookup::plausible(bool in_inches) const {
  const std::vector<TypedSize>& sizes = query.sizes;
  for (std::size_t i = 0; i < sizes.size(); ++i) {
    if (sizes[i].gauge) continue;
    const bool last = i > 0 && i + 1 == sizes.size();
    const bool wall = (last && !query.bar && !query.flat) || (query.channel && i > 1);
    const double value_mm = in_inches ? sizes[i].inches_mm : sizes[i].millimetres_mm;
    const double most_mm = in_inches ? (wall ? kMostWallInInches_mm : kMostOutsideInInches_mm)
                                     : (wall ? kMostWall_mm : kMostOutside_mm);
    if (value_mm < (wall ? kLeastWall_mm : kLeastOutside_mm) || value_mm > most_mm) return false;
  }
  return true;
}

void Lookup::guess_unit() {
  if (const auto implied = implied_inches(query)) {
    inch = *implied;
    found.notes.push_back(fact(fmt::format("read in {}, as such sizes are", unit_words(inch))));
    return;
  }
  inch = rules.default_unit == base::LengthUnit::kInch;
  if (plausible(inch) || !plausible(!inch)) {
    found.notes.push_back({StockNote::Kind::kReading,
                           fmt::format("read in {}, as no unit was given", unit_words(inch))});
    return;
  }
  inch = !inch;
  found.notes.push_back(
      warning(fmt::format("read in {}, although no unit was given: in {} it would be no stock size",
                          unit_words(inch), unit_words(!inch))));
}

base::Result<std::vector<double>> Lookup::measure() {
  const auto any = [&](Unit unit) {
    return std::any_of(query.sizes.begin(), query.sizes.end(),
                       [&](const TypedSize& size) { return !size.gauge && size.unit == unit; });
  };
  for (std::size_t i = 0; i + 1 < query.sizes.size(); ++i) {
    if (!query.sizes[i].gauge) continue;
    return base::Failure{"stock.gauge", "", "a gauge is a wall, so it stands last",
                         "for example 38.1 x 16 BWG"};
  }
  const bool bare = any(Unit::kBare);
  if (bare && any(Unit::kMillimetre) && any(Unit::kInch)) {
    return base::Failure{"stock.units", "",
                         "a number without a unit stands between millimetres and inches",
                         "write the unit at every size"};
  }
  inch = any(Unit::kInch);
  if (bare && !inch && !any(Unit::kMillimetre)) guess_unit();
  std::vector<double> sizes_mm;
  for (const TypedSize& size : query.sizes) {
    if (size.gauge) {
      BIGHT_TRY(const double wall_mm, gauge_wall_mm(*size.gauge));
      sizes_mm.push_back(wall_mm);
    } else {
      sizes_mm.push_back(size.unit == Unit::kBare && !inch ? size.millimetres_mm : size.inches_mm);
    }
  }
  return sizes_mm;
}

base::Result<double> Lookup::gauge_wall_mm(const TypedGauge& typed) {
  const std::string system = typed.system.empty() ? "BWG" : typed.system;
  const auto gauge = find_gauge(tables, system, typed.name);
  if (!gauge) {
    return base::Failure{"stock.gauge", "", fmt::format("there is no {} {}", typed.name, system),
                         "5/0 to 36 BWG, 7/0 to 36 SWG, or the wall itself"};
  }
  const double wall_mm = gauge->wall_mm.value;
  const std::string words = fmt::format("{} {} is {} mm ({:.3f} in)", typed.name, system,
                                        plain_number(wall_mm), wall_mm / kInch_mm);
  if (!typed.system.empty()) {
    found.notes.push_back(fact(words));
    return wall_mm;
  }
  const auto british = find_gauge(tables, "SWG", typed.name);
  const std::string other =
      british ? fmt::format(" ({} SWG is {} mm)", typed.name, plain_number(british->wall_mm.value))
              : "";
  found.notes.push_back(
      warning(fmt::format("{} gauge may mean several walls{}; {} is taken, the usual gauge of "
                          "tube: better write the wall itself",
                          typed.name, other, words)));
  return wall_mm;
}

// A part of a standard that was not typed may be any: "EN 10305" is EN 10305-4 too.
bool Lookup::standard_fits(const std::string& standard) const {
  const std::string& asked = query.standard;
  if (asked.empty() || asked == standard) return true;
  if (standard.rfind(asked, 0) != 0) return false;
  const char next = standard[asked.size()];
  return next == '-' || next == '.';
}

bool Lookup::lets_through(const SizeRow& row) const {
  if (!standard_fits(row.standard)) return false;
  if (query.hydraulic && row.family != SizeFamily::kTubeHydraulic) return false;
  if (is_copper(row) ? query.steel : query.copper) return false;
  if (is_copper(row) && !query.type.empty()) {
    const bool temper = row.code == "any" && query.type.front() == 'R';
    if (row.code != query.type && !temper) return false;
  }
  const bool threadable = row.family == SizeFamily::kPipeThreadable;
  const bool inch_pipe = row.family == SizeFamily::kPipeInch;
  if (!query.schedule.empty() && !(inch_pipe && row.code == query.schedule)) return false;
  if (!query.series.empty() && !(threadable && row.code == query.series)) return false;
  const bool pipe_only = query.pipe && !query.copper && !query.hydraulic;
  if (pipe_only && !inch_pipe && !threadable) return false;
  return !query.hollow || row.family == SizeFamily::kHollowMetric ||
         row.family == SizeFamily::kHollowInch;
}

RowFilter Lookup::filter() const {
  return [this](const SizeRow& row) { return lets_through(row); };
}

void Lookup::add_match(const SizeRow& row) { found.matches.push_back(listed_answer(tables, row)); }

void Lookup::add_near(const SizeRow& row) { found.near.push_back(listed_answer(tables, row)); }

void Lookup::add_unlisted(Section section, std::optional<CornerRange> corner) {
  for (const SizeRow& row : nearest_sizes(tables, section, filter())) add_near(row);
  StockAnswer answer = unlisted_answer(tables, std::move(section), std::move(corner));
  std::string said = "not a listed size";
  if (!found.near.empty()) said += "; the nearest is " + found.near.front().size.designation;
  answer.notes.insert(answer.notes.begin(), warning(std::move(said)));
  if (query.copper) answer.tolerances.clear();  // they are those of steel tube
  found.matches.push_back(std::move(answer));
}

void Lookup::add_nearest_names(double nominal_mm, const RowFilter& kind) {
  constexpr std::size_t kMost = 5;
  std::vector<SizeRow> rows;
  std::copy_if(tables.sizes.begin(), tables.sizes.end(), std::back_inserter(rows), kind);
  std::stable_sort(rows.begin(), rows.end(), [&](const SizeRow& a, const SizeRow& b) {
    return std::abs(a.nominal_mm - nominal_mm) < std::abs(b.nominal_mm - nominal_mm);
  });
  for (std::size_t i = 0; i < std::min(rows.size(), kMost); ++i) add_near(rows[i]);
}

void Lookup::add_plane_note(double height_mm, double width_mm) {
  found.notes.push_back(fact(fmt::format(
      "the side of {} mm lies in the plane of bending, the {} way; type {} first for the other way",
      plain_number(height_mm), height_mm > width_mm ? "hard" : "easy", plain_number(width_mm))));
}

}  // namespace bight::stock

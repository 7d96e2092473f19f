#include "stock/pipe_search.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "stock/stock_answer.h"
#include "stock/tube_search.h"

namespace bight::stock {

namespace {

using Unit = TypedSize::Unit;

// What a pipe was named by.
struct PipeKey {
  enum class By { kNominal, kDn, kOutside };
  By by = By::kNominal;
  double length_mm = 0.0;  // NPS as a length, or the outside diameter
  int dn = 0;
};

bool same_outside(double a_mm, double b_mm) { return std::abs(a_mm - b_mm) <= kSameOutside_mm; }

bool fits(const PipeKey& key, const SizeRow& row) {
  if (!is_pipe(row)) return false;
  switch (key.by) {
    case PipeKey::By::kNominal:
      return same_outside(row.nominal_mm, key.length_mm);
    case PipeKey::By::kDn:
      return row.number == key.dn;
    case PipeKey::By::kOutside:
      return same_outside(row.outside_mm.value, key.length_mm) ||
             (row.inch_outside_mm && same_outside(*row.inch_outside_mm, key.length_mm));
  }
  return false;
}

bool known(const SizeTables& tables, const PipeKey& key) {
  return std::any_of(tables.sizes.begin(), tables.sizes.end(),
                     [&](const SizeRow& row) { return fits(key, row); });
}

// A bare number is a name before it is a measure; with a unit of mm it is a measure first.
PipeKey pipe_key(const Lookup& lookup, const TypedSize& size) {
  const SizeTables& tables = lookup.tables;
  const bool metric = size.unit == Unit::kMillimetre;
  const PipeKey nominal{PipeKey::By::kNominal, size.inches_mm};
  const PipeKey outside{PipeKey::By::kOutside,
                        size.unit == Unit::kInch ? size.inches_mm : size.millimetres_mm};
  const PipeKey dn{PipeKey::By::kDn, 0.0,
                   static_cast<int>(std::lround(std::clamp(size.millimetres_mm, 0.0, 1e6)))};
  const bool whole = std::abs(size.millimetres_mm - dn.dn) < 1e-9;
  const bool may_be_dn = size.unit != Unit::kInch && whole && known(tables, dn);
  if (!metric && known(tables, nominal)) return nominal;
  if (known(tables, outside)) return outside;
  if (may_be_dn) return dn;
  return metric ? outside : nominal;
}

base::Result<double> wall_of_pipe_mm(Lookup& lookup, const TypedSize& wall) {
  if (wall.gauge) return lookup.gauge_wall_mm(*wall.gauge);
  // A bare wall below a millimetre can only be inches: the thinnest pipe has 1.24 mm.
  const bool inch = wall.unit != Unit::kBare || wall.millimetres_mm < 1.0;
  return inch ? wall.inches_mm : wall.millimetres_mm;
}

bool has_wall(const SizeRow& row, double wall_mm) {
  return std::abs(wall_mm - row.wall_mm.value) <= kSameWall_mm ||
         (row.inch_wall_mm && std::abs(wall_mm - *row.inch_wall_mm) <= kSameWall_mm);
}

std::string reading(const PipeKey& key) {
  switch (key.by) {
    case PipeKey::By::kNominal:
      return "pipe named NPS " + inch_words(key.length_mm);
    case PipeKey::By::kDn:
      return fmt::format("pipe named DN {}", key.dn);
    case PipeKey::By::kOutside:
      return "pipe of outside diameter " + both_units(key.length_mm);
  }
  return {};
}

// That a name is not a measure.
void add_name_note(Lookup& lookup, const PipeKey& key, double outside_mm) {
  std::string text;
  if (key.by == PipeKey::By::kNominal) {
    const std::string name = inch_words(key.length_mm);
    text = fmt::format("{} in pipe measures {} outside", name, both_units(outside_mm));
    if (std::abs(outside_mm - key.length_mm) > 1.0) {
      text += fmt::format("; {} in tube would measure {}", name, both_units(key.length_mm));
    }
  } else if (key.by == PipeKey::By::kDn && !lookup.query.dn) {
    text = fmt::format("{} is read as the name DN {}; the pipe measures {} outside",
                       lookup.query.sizes.front().text, key.dn, both_units(outside_mm));
  } else {
    return;
  }
  lookup.found.notes.push_back(warning(std::move(text)));
}

// That inch pipe and EN pipe share a name and may differ.
void add_other_family(Lookup& lookup, const SizeRow& inch, const SizeRow& metric) {
  const double inch_mm = inch.outside_mm.value;
  const double metric_mm = metric.outside_mm.value;
  if (same_outside(inch_mm, metric_mm)) {
    lookup.found.notes.push_back(
        fact(fmt::format("DN {} measures {} mm outside, as inch pipe and as EN pipe", inch.number,
                         plain_number(inch_mm))));
    return;
  }
  lookup.found.notes.push_back(warning(fmt::format(
      "DN {} is {} mm outside as inch pipe ({}) and {} mm as EN pipe ({}): a die for one may not "
      "hold the other",
      inch.number, plain_number(inch_mm), inch.standard, plain_number(metric_mm),
      metric.standard)));
}

void add_notes(Lookup& lookup, const PipeKey& key) {
  const SizeRow* inch = nullptr;
  const SizeRow* metric = nullptr;
  for (const SizeRow& row : lookup.tables.sizes) {
    if (!fits(key, row)) continue;
    const SizeRow*& first = row.family == SizeFamily::kPipeInch ? inch : metric;
    if (first == nullptr) first = &row;
  }
  const std::vector<StockAnswer>& matches = lookup.found.matches;
  const SizeRow* meant = !matches.empty() ? &matches.front().size : inch != nullptr ? inch : metric;
  if (meant != nullptr) add_name_note(lookup, key, meant->outside_mm.value);
  if (inch != nullptr && metric != nullptr && key.by != PipeKey::By::kOutside) {
    add_other_family(lookup, *inch, *metric);
  }
}

// The same pipe in other walls if there is such a pipe, else near pipes.
void add_near(Lookup& lookup, const PipeKey& key) {
  for (const SizeRow& row : lookup.tables.sizes) {
    if (fits(key, row)) lookup.add_near(row);
  }
  if (!lookup.found.near.empty()) return;
  const bool plain = lookup.query.schedule.empty() && lookup.query.series.empty();
  lookup.add_nearest_names(
      key.by == PipeKey::By::kDn ? key.dn : key.length_mm, [&](const SizeRow& row) {
        return is_pipe(row) && lookup.lets_through(row) && (!plain || row.code == "40");
      });
}

}  // namespace

base::Status search_pipe(Lookup& lookup) {
  StockQuery& query = lookup.query;
  PipeKey key{PipeKey::By::kDn, 0.0, query.dn.value_or(0)};
  std::size_t at = 0;
  if (!query.dn) {
    if (query.sizes.empty() || query.sizes[0].gauge) {
      return incomplete("the pipe has no size", "for example 1-1/2 sch 40 pipe, or DN 40 sch 10S");
    }
    key = pipe_key(lookup, query.sizes[0]);
    at = 1;
  }
  if (query.sizes.size() > at + 1) {
    return incomplete("a pipe has a size and at most a wall",
                      "for example 1-1/2 sch 40 pipe, or 48.3 x 3.2");
  }
  std::optional<double> wall_mm;
  if (query.sizes.size() > at) {
    const bool measured = key.by == PipeKey::By::kOutside;
    if (measured && query.schedule.empty() && query.series.empty()) {
      query.pipe = false;  // an outside diameter and a wall: whatever has them will do
      return search_round(lookup);
    }
    BIGHT_TRY(wall_mm, wall_of_pipe_mm(lookup, query.sizes[at]));
  }
  for (const SizeRow& row : lookup.tables.sizes) {
    const bool wall = !wall_mm || has_wall(row, *wall_mm);
    if (fits(key, row) && wall && lookup.lets_through(row)) lookup.add_match(row);
  }
  lookup.found.reading = reading(key);
  add_notes(lookup, key);
  if (lookup.found.matches.empty()) add_near(lookup, key);
  return base::Done{};
}

std::optional<double> named_pipe_outside_mm(const SizeTables& tables, double nominal_mm) {
  const PipeKey key{PipeKey::By::kNominal, nominal_mm};
  const auto found = std::find_if(tables.sizes.begin(), tables.sizes.end(),
                                  [&](const SizeRow& row) { return fits(key, row); });
  if (found == tables.sizes.end()) return std::nullopt;
  return found->outside_mm.value;
}

}  // namespace bight::stock

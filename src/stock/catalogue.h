// Designations into real sections: what "1-1/2 sch 40 pipe" measures, and how that is known.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/length.h"
#include "base/result.h"
#include "stock/size_tables.h"

namespace bight::stock {

// Something the person should read beside an answer.
struct StockNote {
  // kReading: how bare numbers were read; says nothing where a file states its unit.
  enum class Kind { kFact, kReading, kWarning };
  Kind kind = Kind::kFact;
  std::string text;

  friend bool operator==(const StockNote&, const StockNote&) = default;
};

// One section, all that is known about it, and where each number comes from.
struct StockAnswer {
  SizeRow size;         // section, designation, standard, each number's source
  bool listed = false;  // in a table; otherwise a size as typed, its numbers without a source
  std::vector<SizeTolerance> tolerances;  // by delivery standard; empty when none is known
  std::vector<RadiusRow> radii;           // least bend radii printed for it
  std::vector<StockNote> notes;
};

// The answer to one query.
struct StockSearch {
  std::string reading;               // how the query was read
  std::vector<StockNote> notes;      // about the query as a whole
  std::vector<StockAnswer> matches;  // everything the query fits
  std::vector<StockAnswer> near;     // the nearest listed sizes, when nothing listed fits
};

// Looks a query up (stock_query.h says what is understood). A bare number is in rules.default_unit
// unless only the other makes sense; a note says so. What is not in the tables but has all its
// measures is still a section, said to be not a listed size. The section's height is the first
// side typed, in the plane of bending. Square and rectangular tube has a corner radius in the
// middle of its standard's range, given in size.corner.
//
// Failure codes: those of read_stock_query, stock.units (bare numbers between millimetres and
// inches), stock.incomplete (neither a size nor a name, or pipe and tube both possible),
// stock.gauge (a gauge that
// does not exist, or stands where no wall can), section.* (a section that cannot be).
base::Result<StockSearch> find_stock(const SizeTables& tables, std::string_view query,
                                     const base::LengthRules& rules = {});

// The one section to work with. Several matches of the same section are one, the best known;
// tolerances are kept only if all have the same. The notes of the query come first.
// Failure codes: those of find_stock, stock.choose (several sections fit; the remedy lists them),
// stock.unknown (none fits; the remedy lists the nearest).
base::Result<StockAnswer> choose_stock(const SizeTables& tables, std::string_view query,
                                       const base::LengthRules& rules = {});

}  // namespace bight::stock

// The catalogue of metals, and finding one by the name people use for it.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/csv.h"
#include "base/result.h"
#include "stock/material.h"

namespace bight::stock {

// A metal of the catalogue with what it takes to find it.
struct Metal {
  Material material;
  std::string grade;   // what the conditions of one metal share, "1020 DOM"
  std::string number;  // UNS or EN number, "S31603/1.4404"
  std::string family;  // "stainless steel"
  std::vector<std::string> aliases;
  bool usual = false;                      // the condition this grade is usually supplied in
  bool own = false;                        // a shop's own (own_metal.h)
  bool replaces = false;                   // stands in the place of the catalogue's of this name
  std::optional<Sourced> tensile_max_mpa;  // most Rm the specification allows
};

// The metals of one table, in its order.
class Metals {
 public:
  // The built-in table (data/metals.csv).
  static base::Result<Metals> built_in();

  // A table with the columns of data/metals.csv. A Hollomon pair that contradicts the typical
  // tensile strength is replaced as checked_hollomon() says.
  // Failure codes: csv.column, csv.number, table.value (a number or name that cannot be),
  // table.mark.
  static base::Result<Metals> read(const base::CsvTable& table);

  // These and a shop's own: one of the same name stands in the place of the one here, the others
  // come first. @pre their names differ.
  Metals with(const std::vector<Metal>& own) const;

  const std::vector<Metal>& all() const { return all_; }

 private:
  std::vector<Metal> all_;
};

// The metals that every word of the query fits: name, grade, number, specification, condition,
// family and other names count, in any order; capitals, spaces and punctuation do not. When the
// query is exactly one metal's name, only that one. A shop's own is found by part of its name only
// where nothing else is: adding one never changes what a name meant before.
std::vector<Metal> metals_matching(const Metals& metals, std::string_view query);

// The metals closest to a query that fits none, best first, at most `most`.
std::vector<Metal> metals_near(const Metals& metals, std::string_view query, std::size_t most = 6);

struct MetalAnswer {
  Metal metal;
  std::vector<std::string> notes;  // what was assumed or replaced, for the person to read
};

// The one metal that a query names. Among several conditions of one grade the usual supply is
// taken, and a note says so.
// Failure codes: metal.unknown (nothing fits; the remedy lists what is near), metal.ambiguous
// (several fit; the remedy lists them).
base::Result<MetalAnswer> find_metal(const Metals& metals, std::string_view query);

}  // namespace bight::stock

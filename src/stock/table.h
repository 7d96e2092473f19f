// Reading the catalogue's tables: the built-in files, and one row at a time.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/csv.h"
#include "base/result.h"
#include "stock/provenance.h"

namespace bight::stock {

// International yard and pound agreement, 1959: exact.
inline constexpr double kInch_mm = 25.4;

// One of the tables that travel inside the program, by file name ("metals.csv").
// Failure codes: those of base::CsvTable::parse, table.missing (no such file).
base::Result<base::CsvTable> built_in_table(std::string_view file);

// Whether a verified number is a specification's limit or a value somebody found.
enum class NumberKind { kTypical, kMinimum };

// Reads the cells of one row; remembers the first complaint and answers with empty values from
// then on, so that a loader states its columns and asks once at the end.
class TableRow {
 public:
  // Both must outlive the row. @pre row < table.num_rows().
  TableRow(const base::CsvTable& table, std::size_t row) : table_(table), row_(row) {}

  std::string text(std::string_view column);
  double number(std::string_view column);    // any finite number
  double positive(std::string_view column);  // > 0, else table.value
  std::optional<double> optional_number(std::string_view column);
  std::optional<double> optional_positive(std::string_view column);
  bool yes(std::string_view column);  // "yes", or "no" or nothing; else table.value

  // The mark of part `index` of a mark column: VERIFIED, DERIVED, RULE or MEMORY, either one for
  // all parts or one for each between slashes. Anything else is table.mark.
  Provenance mark(std::string_view column, NumberKind kind = NumberKind::kTypical,
                  std::size_t index = 0);

  // Done, or the first complaint. Failure codes: csv.column, csv.number, table.value, table.mark.
  base::Status status() const;
  // A complaint of the caller's own about a cell, table.value.
  void refuse(std::string_view column, std::string message, std::string remedy);

 private:
  template <typename T>
  T keep(base::Result<T> result);

  const base::CsvTable& table_;
  std::size_t row_;
  std::optional<base::Failure> failure_;
};

// The pieces of text between separators, spaces around them removed; empty pieces left out.
std::vector<std::string> pieces(std::string_view text, char separator);

}  // namespace bight::stock

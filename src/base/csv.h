// Comma-separated tables with a header row, as in RFC 4180, read strictly.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"

namespace bight::base {

// A table in memory. Every cell knows the line it came from, so that each complaint about a value
// names file, line and column.
//
// Read: records end with LF or CRLF; fields are separated by commas; a field in double quotes may
// hold commas, line ends and doubled quotes; spaces belong to the field. Beyond the RFC, a line
// that starts with # is a comment, an empty line is skipped, and a leading byte order mark is
// ignored. The first record is the header: names that are neither empty nor repeated.
class CsvTable {
 public:
  // `name` stands for the file in failures.
  // Failure codes: csv.header (none, or a name empty or repeated), csv.columns (a record with more
  // or fewer fields than the header), csv.quote (a quote where none may stand, or one left open),
  // csv.line_end (a carriage return alone), csv.byte (a zero byte).
  static Result<CsvTable> parse(std::string_view text, std::string_view name);

  const std::string& name() const { return name_; }
  const std::vector<std::string>& header() const { return header_; }
  std::size_t num_rows() const { return lines_.size(); }
  bool has_column(std::string_view column) const { return column_index(column).has_value(); }

  // The cell's text, quotes removed. @pre row < num_rows(). Failure codes: csv.column (no column
  // of this name).
  Result<std::string> text(std::size_t row, std::string_view column) const;
  // The cell as a finite decimal number, nothing around it. Failure codes: csv.column, csv.number.
  Result<double> number(std::size_t row, std::string_view column) const;
  // The same, and nothing for an empty cell.
  Result<std::optional<double>> optional_number(std::size_t row, std::string_view column) const;

  // "name:line, column c" of a cell, the `where` of a Failure. @pre row < num_rows().
  std::string where(std::size_t row, std::string_view column) const;

 private:
  std::optional<std::size_t> column_index(std::string_view column) const;
  Status take_header(std::vector<std::string> fields, std::size_t line);
  Status take_record(std::vector<std::string> fields, std::size_t line);

  std::string name_;
  std::vector<std::string> header_;
  std::vector<std::string> cells_;  // row by row
  std::vector<std::size_t> lines_;  // line of the file on which each row starts, from 1
};

// One field as CsvTable::parse() reads it back, quoted only where it must be.
std::string csv_field(std::string_view text);

}  // namespace bight::base

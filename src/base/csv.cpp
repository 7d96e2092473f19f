#include "base/csv.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <utility>

namespace bight::base {

namespace {

constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";

std::string place(std::string_view name, std::size_t line) {
  return fmt::format("{}:{}", name, line);
}

// Walks the text record by record.
class Reader {
 public:
  Reader(std::string_view text, std::string_view name) : text_(text), name_(name) {
    if (text_.substr(0, kByteOrderMark.size()) == kByteOrderMark) at_ = kByteOrderMark.size();
  }

  std::size_t line() const { return line_; }

  // Goes to the next record's first character; false at the end of the text.
  Result<bool> find_record() {
    while (at_ < text_.size()) {
      if (text_[at_] == '#') {
        BIGHT_TRY([[maybe_unused]] const Done skipped, skip_comment());
        continue;
      }
      BIGHT_TRY(const bool ended, take_line_end());
      if (!ended) return true;
    }
    return false;
  }

  // The fields of the record that starts here; stands behind its line end afterwards.
  Result<std::vector<std::string>> record() {
    std::vector<std::string> fields;
    while (true) {
      const bool quoted = at_ < text_.size() && text_[at_] == '"';
      BIGHT_TRY(std::string field, quoted ? quoted_field() : plain_field());
      fields.push_back(std::move(field));
      if (at_ == text_.size()) return fields;
      if (text_[at_] == ',') {
        ++at_;
        continue;
      }
      BIGHT_TRY(const bool ended, take_line_end());
      if (ended) return fields;
      return Failure{"csv.quote", place(name_, line_),
                     fmt::format("field {} goes on after its closing quote", fields.size()),
                     "put the whole field in quotes and double each quote inside it"};
    }
  }

 private:
  Failure zero_byte() const {
    return {"csv.byte", place(name_, line_), "a zero byte stands here", "save the table as text"};
  }

  Status skip_comment() {
    while (at_ < text_.size()) {
      if (text_[at_] == '\0') return zero_byte();
      BIGHT_TRY(const bool ended, take_line_end());
      if (ended) break;
      ++at_;
    }
    return Done{};
  }

  // Steps over one line end if one stands here.
  Result<bool> take_line_end() {
    if (text_[at_] == '\n') {
      at_ += 1;
    } else if (text_[at_] == '\r') {
      if (at_ + 1 == text_.size() || text_[at_ + 1] != '\n') {
        return Failure{"csv.line_end", place(name_, line_),
                       "a carriage return stands here without a line feed",
                       "end each line with a line feed, or with both"};
      }
      at_ += 2;
    } else {
      return false;
    }
    ++line_;
    return true;
  }

  Result<std::string> plain_field() {
    const std::size_t from = at_;
    while (at_ < text_.size()) {
      const char c = text_[at_];
      if (c == ',' || c == '\n' || c == '\r') break;
      if (c == '\0') return zero_byte();
      if (c == '"') {
        return Failure{"csv.quote", place(name_, line_),
                       fmt::format("a quote stands inside the unquoted field {}",
                                   text_.substr(from, at_ - from + 1)),
                       "put the whole field in quotes and double each quote inside it"};
      }
      ++at_;
    }
    return std::string(text_.substr(from, at_ - from));
  }

  Result<std::string> quoted_field() {
    const std::size_t opened = line_;
    std::string field;
    for (++at_; at_ < text_.size(); ++at_) {
      const char c = text_[at_];
      if (c == '\0') return zero_byte();
      if (c == '\n') ++line_;
      if (c == '"') {
        if (at_ + 1 == text_.size() || text_[at_ + 1] != '"') {
          ++at_;
          return field;
        }
        ++at_;
      }
      field += c;
    }
    return Failure{"csv.quote", place(name_, opened), "a quote opened here is never closed",
                   "close it before the next comma"};
  }

  std::string_view text_;
  std::string_view name_;
  std::size_t at_ = 0;
  std::size_t line_ = 1;
};

}  // namespace

Result<CsvTable> CsvTable::parse(std::string_view text, std::string_view name) {
  CsvTable table;
  table.name_ = std::string(name);
  Reader reader(text, name);
  while (true) {
    BIGHT_TRY(const bool more, reader.find_record());
    if (!more) break;
    const std::size_t line = reader.line();
    BIGHT_TRY(std::vector<std::string> fields, reader.record());
    BIGHT_TRY([[maybe_unused]] const Done taken, table.header_.empty()
                                                     ? table.take_header(std::move(fields), line)
                                                     : table.take_record(std::move(fields), line));
  }
  if (table.header_.empty()) {
    return Failure{"csv.header", table.name_, "there is no header line",
                   "name the columns in the first line"};
  }
  return table;
}

Status CsvTable::take_header(std::vector<std::string> fields, std::size_t line) {
  for (auto field = fields.begin(); field != fields.end(); ++field) {
    if (field->empty()) {
      return Failure{"csv.header", place(name_, line),
                     fmt::format("column {} has no name", field - fields.begin() + 1),
                     "name every column"};
    }
    if (std::find(fields.begin(), field, *field) != field) {
      return Failure{"csv.header", place(name_, line),
                     fmt::format("two columns are called {}", *field), "give each its own name"};
    }
  }
  header_ = std::move(fields);
  return Done{};
}

Status CsvTable::take_record(std::vector<std::string> fields, std::size_t line) {
  if (fields.size() != header_.size()) {
    return Failure{"csv.columns", place(name_, line),
                   fmt::format("{} fields under {} columns", fields.size(), header_.size()),
                   "leave a field empty rather than out, and quote a field that holds a comma"};
  }
  lines_.push_back(line);
  std::move(fields.begin(), fields.end(), std::back_inserter(cells_));
  return Done{};
}

std::optional<std::size_t> CsvTable::column_index(std::string_view column) const {
  const auto found = std::find(header_.begin(), header_.end(), column);
  if (found == header_.end()) return std::nullopt;
  return static_cast<std::size_t>(found - header_.begin());
}

Result<std::string> CsvTable::text(std::size_t row, std::string_view column) const {
  BIGHT_CHECK(row < num_rows());
  const auto index = column_index(column);
  if (!index) {
    return Failure{"csv.column", name_, fmt::format("there is no column called {}", column),
                   fmt::format("the columns are {}", fmt::join(header_, ", "))};
  }
  return cells_[row * header_.size() + *index];
}

Result<std::optional<double>> CsvTable::optional_number(std::size_t row,
                                                        std::string_view column) const {
  BIGHT_TRY(const std::string cell, text(row, column));
  if (cell.empty()) return std::optional<double>();
  double value_ratio = 0.0;
  const char* end = cell.data() + cell.size();
  const auto [stop, error] = std::from_chars(cell.data(), end, value_ratio);
  if (error != std::errc() || stop != end || !std::isfinite(value_ratio)) {
    return Failure{"csv.number", where(row, column), fmt::format("\"{}\" is not a number", cell),
                   "a decimal number with a point, such as 1.65"};
  }
  return std::optional<double>(value_ratio);
}

Result<double> CsvTable::number(std::size_t row, std::string_view column) const {
  BIGHT_TRY(const std::optional<double> value, optional_number(row, column));
  if (!value) {
    return Failure{"csv.number", where(row, column), "a number is missing",
                   "a decimal number with a point, such as 1.65"};
  }
  return *value;
}

std::string CsvTable::where(std::size_t row, std::string_view column) const {
  BIGHT_CHECK(row < num_rows());
  return fmt::format("{}, column {}", place(name_, lines_[row]), column);
}

std::string csv_field(std::string_view text) {
  // An empty field alone on its line would read as an empty line, a leading # as a comment, and a
  // leading byte order mark would be dropped.
  const bool needs_quotes = text.empty() || text.front() == '#' ||
                            text.substr(0, kByteOrderMark.size()) == kByteOrderMark ||
                            text.find_first_of(",\"\r\n") != std::string_view::npos;
  if (!needs_quotes) return std::string(text);
  std::string quoted = "\"";
  for (const char c : text) {
    if (c == '"') quoted += '"';
    quoted += c;
  }
  return quoted + '"';
}

}  // namespace bight::base

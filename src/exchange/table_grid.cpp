#include "exchange/table_grid.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstring>
#include <map>
#include <optional>

namespace bight::exchange {

using base::Failure;

namespace {

constexpr std::size_t kRowsSampled = 200;
constexpr std::size_t kMostCells = 200;

std::string_view trimmed_cell(std::string_view cell) {
  const auto blank = [](char c) { return c == ' ' || c == '\t' || c == '\v' || c == '\f'; };
  while (!cell.empty() && blank(cell.front())) cell.remove_prefix(1);
  while (!cell.empty() && blank(cell.back())) cell.remove_suffix(1);
  return cell;
}

std::optional<char> mark_of(Separator separator) {
  switch (separator) {
    case Separator::kTab:
      return '\t';
    case Separator::kSemicolon:
      return ';';
    case Separator::kBar:
      return '|';
    case Separator::kComma:
      return ',';
    case Separator::kGap:
    case Separator::kSpace:
      return std::nullopt;
  }
  return std::nullopt;
}

// A quote opens a cell only where the cell begins.
std::size_t count_marks(std::string_view line, char mark) {
  std::size_t count = 0;
  bool quoted = false;
  bool at_start = true;
  for (const char c : line) {
    if (c == '"' && (quoted || at_start)) {
      quoted = !quoted;
    } else if (c == mark && !quoted) {
      ++count;
      at_start = true;
      continue;
    }
    at_start = at_start && c == ' ';
  }
  return count;
}

std::size_t count_gaps(std::string_view line, std::size_t least) {
  std::size_t count = 0;
  for (std::size_t i = 0; i < line.size();) {
    if (line[i] != ' ') {
      ++i;
      continue;
    }
    const std::size_t start = i;
    while (i < line.size() && line[i] == ' ') ++i;
    if (i - start >= least) ++count;
  }
  return count;
}

std::size_t count_separators(std::string_view line, Separator separator) {
  const std::optional<char> mark = mark_of(separator);
  return mark ? count_marks(line, *mark) : count_gaps(line, separator == Separator::kGap ? 2 : 1);
}

// "12,5 13,5 0,0" is cut by its spaces: between commas there would be two numbers in one cell.
bool commas_are_decimals(const std::vector<std::string_view>& lines) {
  const auto digit = [](char c) { return c >= '0' && c <= '9'; };
  std::size_t suspicious = 0;
  for (const std::string_view line : lines) {
    for (std::size_t i = 1; i + 1 < line.size(); ++i) {
      if (line[i] != ' ' || !digit(line[i - 1])) continue;
      std::size_t next = i;
      while (next < line.size() && line[next] == ' ') ++next;
      const bool number = next < line.size() && (digit(line[next]) || line[next] == '-');
      if (number && line.find('/') == std::string_view::npos) {
        ++suspicious;
        break;
      }
    }
  }
  return 2 * suspicious > lines.size();
}

std::vector<std::string_view> sampled_lines(std::string_view text) {
  std::vector<std::string_view> lines;
  while (!text.empty() && lines.size() < kRowsSampled) {
    const std::size_t end = text.find('\n');
    const std::string_view line = trimmed_cell(text.substr(0, end));
    if (!line.empty() && line.front() != '#') lines.push_back(line);
    if (end == std::string_view::npos) break;
    text.remove_prefix(end + 1);
  }
  return lines;
}

Separator choose_separator(std::string_view text) {
  const std::vector<std::string_view> lines = sampled_lines(text);
  constexpr std::array kOrder = {Separator::kTab,   Separator::kSemicolon, Separator::kBar,
                                 Separator::kComma, Separator::kGap,       Separator::kSpace};
  for (const Separator separator : kOrder) {
    if (separator == Separator::kComma && commas_are_decimals(lines)) continue;
    // Tabs, semicolons and bars stand for nothing else; the others must come out alike.
    const bool strong = separator < Separator::kComma;
    std::map<std::size_t, std::size_t> rows_with;
    for (const std::string_view line : lines) {
      const std::size_t num = count_separators(line, separator);
      ++rows_with[strong ? std::min<std::size_t>(num, 1) : num];
    }
    std::size_t best = 0;
    for (const auto& [num, rows] : rows_with) {
      if (num > 0) best = std::max(best, rows);
    }
    if (2 * best >= lines.size() && best > 0) return separator;
  }
  return Separator::kComma;
}

}  // namespace

std::size_t TextGrid::num_columns() const {
  std::size_t most = 0;
  for (std::size_t row = 0; row < num_rows(); ++row) most = std::max(most, num_cells(row));
  return most;
}

base::Result<TextGrid> TextGrid::cut(std::string text, const std::string& file) {
  TextGrid grid;
  grid.text_ = std::make_unique<const std::string>(std::move(text));
  grid.separator_ = choose_separator(*grid.text_);
  grid.mark_ = mark_of(grid.separator_);
  BIGHT_TRY(const base::Done done, grid.cut_all(file));
  static_cast<void>(done);
  return grid;
}

base::Status TextGrid::cut_all(const std::string& file) {
  cells_.reserve(text_->size() / 6 + 8);
  std::size_t line = 1;
  for (std::size_t at = 0; at < text_->size();) {
    const std::size_t first_line = line;
    const std::size_t cells_before = cells_.size();
    bool open_quote = false;
    at = cut_row(at, line, open_quote);
    if (open_quote) {
      return Failure{"table.quote", fmt::format("{}:{}", file, first_line),
                     "a double quote is opened here and never closed",
                     "close it, or write inches as in"};
    }
    if (cells_.size() - cells_before > kMostCells) {
      return Failure{"table.wide", fmt::format("{}:{}", file, first_line),
                     fmt::format("this row has more than {} cells", kMostCells),
                     "a table of points or bends has a handful of columns, one row for each"};
    }
    end_row(first_line);
  }
  return base::Done{};
}

void TextGrid::end_row(std::size_t line) {
  while (cells_.size() > starts_.back() && cells_.back().empty()) cells_.pop_back();
  if (cells_.size() == starts_.back()) return;
  starts_.push_back(cells_.size());
  lines_.push_back(line);
}

// The text of the quoted cell whose opening quote stands at `at`, which moves past the closing one.
// Nothing when it is never closed.
std::optional<std::string_view> TextGrid::take_quoted(std::size_t& at, std::size_t& line) {
  const std::string_view text = *text_;
  const auto doubled_at = [&](std::size_t i) { return text.substr(i, 2) == "\"\""; };
  const std::size_t start = at + 1;
  std::size_t end = start;
  bool doubled = false;
  while (end < text.size() && (text[end] != '"' || doubled_at(end))) {
    if (text[end] == '\n') ++line;
    const bool pair = text[end] == '"';
    doubled = doubled || pair;
    end += pair ? std::size_t{2} : std::size_t{1};
  }
  if (end >= text.size()) return std::nullopt;
  at = end + 1;
  const std::string_view quoted = text.substr(start, end - start);
  if (!doubled) return quoted;
  std::string& plain = unquoted_.emplace_back(quoted);
  for (std::size_t i = plain.find("\"\""); i != std::string::npos; i = plain.find("\"\"", i + 1)) {
    plain.erase(i, 1);
  }
  return plain;
}

// Where the cell that starts at `at` ends: at its separator, a line end, or the end of the text.
std::size_t TextGrid::end_of_cell(std::size_t at) const {
  const std::string_view text = *text_;
  if (mark_) {
    const char mark = *mark_;
    const char* const start = text.data();
    const char* const last = start + text.size();
    const char* here = start + at;
    while (here != last && *here != mark && *here != '\n') ++here;
    return static_cast<std::size_t>(here - start);
  }
  const std::size_t least_gap = separator_ == Separator::kGap ? 2 : 1;
  while (at < text.size() && text[at] != '\n') {
    std::size_t next = at;
    while (next < text.size() && text[next] == ' ') ++next;
    if (next - at >= least_gap) break;
    at = std::max(next, at + 1);
  }
  return at;
}

// Cuts one row starting at `at`; returns where the next one starts. `line` counts the line ends
// passed, those inside quotes too.
std::size_t TextGrid::cut_row(std::size_t at, std::size_t& line, bool& open_quote) {
  const std::string_view text = *text_;
  const bool by_spaces = !mark_;
  const auto past_spaces = [&](std::size_t i) {
    while (i < text.size() && text[i] == ' ') ++i;
    return i;
  };
  if (by_spaces) at = past_spaces(at);
  while (true) {
    const std::size_t start = past_spaces(at);
    std::optional<std::string_view> quoted;
    if (start < text.size() && text[start] == '"') {
      at = start;
      quoted = take_quoted(at, line);
      open_quote = !quoted;
      if (open_quote) return text.size();
    }
    const std::size_t end = end_of_cell(at);
    cells_.push_back(trimmed_cell(quoted ? *quoted : text.substr(at, end - at)));
    const std::size_t next = by_spaces ? past_spaces(end) : end;
    if (next >= text.size()) return text.size();
    if (text[next] == '\n') {
      ++line;
      return next + 1;
    }
    at = by_spaces ? next : next + 1;
  }
}

}  // namespace bight::exchange

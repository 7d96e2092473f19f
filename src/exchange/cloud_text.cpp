#include "exchange/cloud_text.h"

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <cmath>

#include "base/typed_text.h"

namespace bight::exchange {

using base::Failure;
using base::Result;

namespace {

constexpr std::size_t kMostColumns = 64;

bool is_space(char c) { return c == ' ' || c == '\t' || c == '\r'; }

void skip_blanks(std::string_view& text) {
  while (!text.empty() && is_space(text.front())) text.remove_prefix(1);
}

// How the numbers of a line are parted.
struct Layout {
  char separator = ' ';  // ' ' for blanks and tabs
  bool comma_decimals = false;
  std::array<std::size_t, 3> columns = {0, 1, 2};
  std::size_t num_columns = 0;  // 0: not known yet
};

// Splits off a field; blanks around it are dropped.
std::string_view take_field(std::string_view& line, char separator) {
  skip_blanks(line);
  std::size_t end = 0;
  while (end < line.size() && (separator == ' ' ? !is_space(line[end]) : line[end] != separator)) {
    ++end;
  }
  std::string_view field = line.substr(0, end);
  line.remove_prefix(std::min(line.size(), end + 1));
  while (!field.empty() && is_space(field.back())) field.remove_suffix(1);
  return field;
}

bool parse(std::string_view field, bool comma_decimals, double& number) {
  std::array<char, 64> copy{};
  if (comma_decimals && field.find(',') != std::string_view::npos) {
    if (field.size() > copy.size()) return false;
    for (std::size_t i = 0; i < field.size(); ++i) copy[i] = field[i] == ',' ? '.' : field[i];
    field = std::string_view(copy.data(), field.size());
  }
  return take_number(field, number) && field.empty();
}

class ListReader {
 public:
  ListReader(std::string_view text, const std::string& file) : text_(text), file_(file) {}

  Result<Cloud> read() {
    Cloud cloud;
    cloud.format = "points as text";
    if (text_.substr(0, 3) == "\xEF\xBB\xBF") text_.remove_prefix(3);
    bool first = true;
    while (!text_.empty()) {
      std::string_view line = next_line();
      skip_blanks(line);
      if (line.empty() || line.front() == '#' || line.substr(0, 2) == "//") continue;
      if (first) {
        first = false;
        BIGHT_TRY(const bool heading, take_first(line));
        if (heading) continue;
      }
      if (layout_.num_columns == 0) {
        BIGHT_TRY(const base::Done known, find_layout(line));
        static_cast<void>(known);
      }
      BIGHT_TRY(const base::Done taken, take_point(line, cloud));
      static_cast<void>(taken);
    }
    return cloud;
  }

 private:
  std::string where() const { return fmt::format("{}:{}", file_, line_); }

  std::string_view next_line() {
    ++line_;
    const std::size_t end = std::min(text_.find('\n'), text_.size());
    const std::string_view line = text_.substr(0, end);
    text_.remove_prefix(std::min(text_.size(), end + 1));
    return line;
  }

  // "1,5 2,5 3,5": commas inside and blanks between.
  base::Status check_commas(std::string_view line) const {
    if (separator_of(line) != ',') return base::Done{};
    std::string_view rest = line;
    std::size_t num_fields = 0;
    std::size_t num_commas = 0;
    while (!rest.empty()) {
      const std::string_view field = take_field(rest, ' ');
      if (field.empty()) continue;
      ++num_fields;
      const std::size_t comma = field.find(',');
      num_commas += comma != std::string_view::npos && comma > 0 && comma + 1 < field.size();
    }
    if (num_fields < 3 || num_commas == 0) return base::Done{};
    return Failure{"cloud.comma", where(),
                   fmt::format("in {} a comma may part decimals or numbers",
                               base::as_typed(line.substr(0, 60))),
                   "write decimals with a point, or part the numbers by semicolons"};
  }

  // Whether the first line is a heading: the number of points, or words.
  Result<bool> take_first(std::string_view line) {
    const std::string_view whole = line;
    std::size_t num_numbers = 0;
    std::size_t num_words = 0;
    std::vector<std::string_view> words;
    const char separator = separator_of(line);
    while (!line.empty() && num_numbers + num_words < kMostColumns) {
      const std::string_view field = take_field(line, separator);
      if (field.empty()) continue;
      double number = 0.0;
      parse(field, true, number) ? ++num_numbers : ++num_words;
      words.push_back(field);
    }
    BIGHT_TRY(const base::Done commas, check_commas(whole));
    static_cast<void>(commas);
    if (num_words == 0) return num_numbers == 1;
    if (num_numbers > 0) {
      return Failure{"cloud.number", where(),
                     fmt::format("{} mixes words and numbers", base::as_typed(whole.substr(0, 60))),
                     "a point is a line of numbers: x y z"};
    }
    take_names(words);
    return true;
  }

  void take_names(const std::vector<std::string_view>& words) {
    std::array<std::size_t, 3> found = {kMostColumns, kMostColumns, kMostColumns};
    for (std::size_t i = 0; i < words.size(); ++i) {
      if (words[i].empty()) continue;
      const std::size_t axis =
          std::string_view("xyz").find(static_cast<char>(words[i].front() | 0x20));
      // "x", "X", "x [mm]", "x_mm": a letter with nothing that makes it another word.
      const bool alone = words[i].size() == 1 ||
                         std::string_view(" _([").find(words[i][1]) != std::string_view::npos;
      if (alone && axis < 3 && found[axis] == kMostColumns) found[axis] = i;
    }
    if (found[0] < kMostColumns && found[1] < kMostColumns && found[2] < kMostColumns) {
      layout_.columns = found;
    }
  }

  static char separator_of(std::string_view line) {
    if (line.find(';') != std::string_view::npos) return ';';
    if (line.find(',') != std::string_view::npos) return ',';
    return ' ';
  }

  base::Status find_layout(std::string_view line) {
    layout_.separator = separator_of(line);
    layout_.comma_decimals = layout_.separator == ';';
    BIGHT_TRY(const base::Done commas, check_commas(line));
    static_cast<void>(commas);
    std::string_view rest = line;
    while (!rest.empty() && layout_.num_columns <= kMostColumns) {
      // A blank or comma at the end of a line opens no column.
      if (!take_field(rest, layout_.separator).empty() || !rest.empty()) ++layout_.num_columns;
    }
    const std::size_t needed =
        1 + *std::max_element(layout_.columns.begin(), layout_.columns.end());
    if (layout_.num_columns < needed || layout_.num_columns > kMostColumns) {
      return Failure{
          "cloud.columns", where(),
          fmt::format("{} number(s) in the line do not make a point", layout_.num_columns),
          "a point is a line of numbers: x y z"};
    }
    return base::Done{};
  }

  base::Status take_point(std::string_view line, Cloud& cloud) {
    geometry::Vec3 point = geometry::Vec3::Zero();
    const std::string_view whole = line;
    std::size_t column = 0;
    while (!line.empty()) {
      const std::string_view field = take_field(line, layout_.separator);
      if (field.empty() && line.empty()) break;
      for (std::size_t axis = 0; axis < 3; ++axis) {
        if (layout_.columns[axis] != column) continue;
        double number = 0.0;
        if (!parse(field, layout_.comma_decimals, number) || !std::isfinite(number)) {
          return Failure{"cloud.number", where(),
                         fmt::format("{} is not a finite number", base::as_typed(field)),
                         "take such points out of the export"};
        }
        point[static_cast<Eigen::Index>(axis)] = number;
      }
      ++column;
    }
    if (column != layout_.num_columns) {
      return Failure{"cloud.columns", where(),
                     fmt::format("{} has {} columns where the lines before have {}",
                                 base::as_typed(whole.substr(0, 60)), column, layout_.num_columns),
                     "every line holds as many numbers as the first"};
    }
    if (cloud.points.size() == kMostCloudPoints) {
      return Failure{"cloud.many", where(), fmt::format("more than {} points", kMostCloudPoints),
                     "thin the scan out"};
    }
    cloud.points.push_back(point);
    return base::Done{};
  }

  std::string_view text_;
  const std::string& file_;
  std::size_t line_ = 0;
  Layout layout_;
};

}  // namespace

bool take_number(std::string_view& text, double& number) {
  std::string_view rest = text;
  if (!rest.empty() && rest.front() == '+') rest.remove_prefix(1);
  const std::from_chars_result result =
      std::from_chars(rest.data(), rest.data() + rest.size(), number);
  if (result.ec != std::errc() || result.ptr == rest.data()) return false;
  rest.remove_prefix(static_cast<std::size_t>(result.ptr - rest.data()));
  text = rest;
  return true;
}

Result<Cloud> read_point_list(std::string_view text, const std::string& file) {
  return ListReader(text, file).read();
}

}  // namespace bight::exchange

// Text cut into rows and cells, whatever separates them.
#pragma once

#include <cstddef>
#include <deque>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.h"

namespace bight::exchange {

// What stands between cells. kGap is two or more spaces, kSpace one or more.
enum class Separator { kTab, kSemicolon, kBar, kComma, kGap, kSpace };

// Rows of trimmed cells; cells point into text that the grid owns. Rows without any text are left
// out, trailing empty cells are cut off.
class TextGrid {
 public:
  // The separator that most rows agree on, in the order of the enum: a semicolon or tab wins over
  // commas, which may be decimals. Cells may stand in double quotes, with doubled quotes inside; a
  // quote after other text is an inch mark.
  // Failure codes: table.quote (one left open), table.wide (more than 200 cells in a row).
  static base::Result<TextGrid> cut(std::string text, const std::string& file);

  std::size_t num_rows() const { return starts_.size() - 1; }
  std::size_t num_cells(std::size_t row) const { return starts_[row + 1] - starts_[row]; }
  // Empty past the row's end.
  std::string_view cell(std::size_t row, std::size_t column) const {
    return column < num_cells(row) ? cells_[starts_[row] + column] : std::string_view();
  }
  // Line of the text on which the row starts, from 1.
  std::size_t line(std::size_t row) const { return lines_[row]; }
  Separator separator() const { return separator_; }
  std::size_t num_columns() const;

 private:
  TextGrid() = default;
  base::Status cut_all(const std::string& file);
  std::size_t cut_row(std::size_t at, std::size_t& line, bool& open_quote);
  std::optional<std::string_view> take_quoted(std::size_t& at, std::size_t& line);
  std::size_t end_of_cell(std::size_t at) const;
  void end_row(std::size_t line);

  std::unique_ptr<const std::string> text_;
  std::deque<std::string> unquoted_;  // cells whose doubled quotes were taken out
  std::vector<std::string_view> cells_;
  std::vector<std::size_t> starts_ = {0};
  std::vector<std::size_t> lines_;
  Separator separator_ = Separator::kComma;
};

}  // namespace bight::exchange

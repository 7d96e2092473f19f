// A table of texts for a terminal.
#pragma once

#include <algorithm>
#include <string>
#include <vector>

namespace bight::app {

// Cells set in columns, numbers to the right; the first row is the heading.
class Columns {
 public:
  void add(std::vector<std::string> row) { rows_.push_back(std::move(row)); }

  // Columns from 0 whose cells stand to the left.
  void to_the_left(std::vector<std::size_t> columns) { left_ = std::move(columns); }

  std::string text() const {
    std::vector<std::size_t> widths;
    for (const auto& row : rows_) {
      widths.resize(std::max(widths.size(), row.size()), 0);
      for (std::size_t i = 0; i < row.size(); ++i) widths[i] = std::max(widths[i], width(row[i]));
    }
    std::string out;
    for (const auto& row : rows_) {
      std::string line = " ";
      for (std::size_t i = 0; i < row.size(); ++i) {
        const std::string room(widths[i] - width(row[i]), ' ');
        const bool left = std::find(left_.begin(), left_.end(), i) != left_.end();
        line += " " + (left ? row[i] + room : room + row[i]) + " ";
      }
      line.erase(line.find_last_not_of(' ') + 1);
      out += line + "\n";
    }
    return out;
  }

 private:
  // Characters, not bytes: ° takes two bytes and one column.
  static std::size_t width(const std::string& cell) {
    return static_cast<std::size_t>(std::count_if(cell.begin(), cell.end(), [](char c) {
      return (static_cast<unsigned char>(c) & 0xC0) != 0x80;
    }));
  }

  std::vector<std::vector<std::string>> rows_;
  std::vector<std::size_t> left_;
};

}  // namespace bight::app

#include "stock/table.h"

#include <fmt/format.h>

#include <span>
#include <utility>

#include "base/embedded.h"

namespace bight::embedded {
std::span<const File> catalogue_files();
}

namespace bight::stock {

base::Result<base::CsvTable> built_in_table(std::string_view file) {
  for (const embedded::File& candidate : embedded::catalogue_files()) {
    if (candidate.name == file) return base::CsvTable::parse(candidate.text, candidate.name);
  }
  return base::Failure{"table.missing", std::string(file),
                       "there is no built-in table of this name", ""};
}

template <typename T>
T TableRow::keep(base::Result<T> result) {
  if (result.ok()) return std::move(result).value();
  if (!failure_) failure_ = std::move(result).failure();
  return T{};
}

std::string TableRow::text(std::string_view column) { return keep(table_.text(row_, column)); }

double TableRow::number(std::string_view column) { return keep(table_.number(row_, column)); }

double TableRow::positive(std::string_view column) {
  const double value = number(column);
  if (!(value > 0.0)) {
    refuse(column, fmt::format("{} is not above zero", value), "a number above zero");
  }
  return value;
}

std::optional<double> TableRow::optional_number(std::string_view column) {
  return keep(table_.optional_number(row_, column));
}

std::optional<double> TableRow::optional_positive(std::string_view column) {
  const std::optional<double> value = optional_number(column);
  if (value && !(*value > 0.0)) {
    refuse(column, fmt::format("{} is not above zero", *value), "a number above zero, or nothing");
  }
  return value;
}

bool TableRow::yes(std::string_view column) {
  const std::string cell = text(column);
  if (cell != "yes" && cell != "no" && !cell.empty()) {
    refuse(column, fmt::format("\"{}\" is neither yes nor no", cell), "yes, no or nothing");
  }
  return cell == "yes";
}

Provenance TableRow::mark(std::string_view column, NumberKind kind, std::size_t index) {
  const std::string cell = text(column);
  const std::vector<std::string> marks = pieces(cell, '/');
  const std::string mark = marks.size() == 1      ? marks.front()
                           : index < marks.size() ? marks[index]
                                                  : std::string();
  if (mark == "VERIFIED") {
    return kind == NumberKind::kMinimum ? Provenance::kPublishedMinimum
                                        : Provenance::kPublishedTypical;
  }
  if (mark == "DERIVED") return Provenance::kDerived;
  if (mark == "RULE") return Provenance::kRuleOfThumb;
  if (mark != "MEMORY" && !failure_) {
    failure_ = base::Failure{"table.mark", table_.where(row_, column),
                             fmt::format("\"{}\" is not a mark", cell),
                             "VERIFIED, DERIVED, RULE or MEMORY"};
  }
  return Provenance::kUnconfirmed;
}

base::Status TableRow::status() const {
  if (failure_) return *failure_;
  return base::Done{};
}

void TableRow::refuse(std::string_view column, std::string message, std::string remedy) {
  if (failure_) return;
  failure_ = base::Failure{"table.value", table_.where(row_, column), std::move(message),
                           std::move(remedy)};
}

std::vector<std::string> pieces(std::string_view text, char separator) {
  std::vector<std::string> found;
  while (!text.empty()) {
    const std::size_t cut = std::min(text.find(separator), text.size());
    std::string_view piece = text.substr(0, cut);
    text.remove_prefix(std::min(cut + 1, text.size()));
    while (!piece.empty() && piece.front() == ' ') piece.remove_prefix(1);
    while (!piece.empty() && piece.back() == ' ') piece.remove_suffix(1);
    if (!piece.empty()) found.emplace_back(piece);
  }
  return found;
}

}  // namespace bight::stock

// Any bytes either fail with a code, or are a table that survives being written and read again.
#include "base/csv.h"

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

#include "base/check.h"

namespace {

using bight::base::csv_field;
using bight::base::CsvTable;

std::string written(const CsvTable& table) {
  std::string text;
  const auto add = [&](std::size_t column, std::string_view field, std::string_view break_before) {
    text += column == 0 ? std::string(break_before) : ",";
    text += csv_field(field);
  };
  for (std::size_t column = 0; column < table.header().size(); ++column) {
    add(column, table.header()[column], "");
  }
  for (std::size_t row = 0; row < table.num_rows(); ++row) {
    for (std::size_t column = 0; column < table.header().size(); ++column) {
      add(column, *table.text(row, table.header()[column]), "\n");
    }
  }
  return text;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  const std::string text(bytes, bytes + size);
  const auto table = CsvTable::parse(text, "fuzz.csv");
  if (!table.ok()) {
    BIGHT_CHECK(table.failure().code.rfind("csv.", 0) == 0);
    return 0;
  }
  const auto again = CsvTable::parse(written(*table), "fuzz.csv");
  BIGHT_CHECK(again.ok());
  BIGHT_CHECK(again->header() == table->header());
  BIGHT_CHECK(again->num_rows() == table->num_rows());
  for (std::size_t row = 0; row < table->num_rows(); ++row) {
    for (const std::string& column : table->header()) {
      BIGHT_CHECK(*again->text(row, column) == *table->text(row, column));
      static_cast<void>(table->optional_number(row, column));
    }
  }
  return 0;
}

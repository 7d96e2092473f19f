// Any bytes as a table: a line, questions or a failure with a code, and what is read is written and
// read again unasked.
#include <cstddef>
#include <cstdint>
#include <string>

#include "base/check.h"
#include "exchange/table_read.h"
#include "exchange/table_write.h"

using namespace bight::exchange;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size < 1) return 0;
  const std::uint8_t choice = data[0];
  const std::string_view text(reinterpret_cast<const char*>(data + 1), size - 1);
  LineOptions options;
  if (choice & 1) {
    options.answers = {{"units", choice & 2 ? "mm" : "in"},
                       {"decimal", choice & 4 ? "point" : "comma"},
                       {"rotation", choice & 8 ? "relative" : "absolute"},
                       {"angle", choice & 16 ? "bend" : "included"},
                       {"table", choice & 32 ? "corners" : "bends"},
                       {"columns", choice & 64 ? "x,y,z" : "l,r,a"},
                       {"radius", "50"},
                       {"last", "10"}};
    options.section_height_mm = 25.0;
  }
  const auto reading = read_table(text, "fuzz", options);
  if (!reading.ok()) {
    BIGHT_CHECK(!reading.failure().message.empty());
    BIGHT_CHECK(reading.failure().code.find('.') != std::string::npos);
    return 0;
  }
  BIGHT_CHECK(reading->line.has_value() == reading->questions.empty());
  if (!reading->line) return 0;
  const auto again = read_table(bends_csv(reading->line->table), "fuzz", {});
  // Rounded to a billionth, a bend can vanish and a length reach the limit.
  if (again.ok()) BIGHT_CHECK(again->line.has_value());
  return 0;
}

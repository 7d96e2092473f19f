// Any bytes as a table in JSON: a line, questions or a failure, and what is read is written and
// reads as the same table.
#include "exchange/table_json.h"

#include <cstddef>
#include <cstdint>
#include <string>

#include "base/check.h"

using namespace bight::exchange;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  LineOptions options;
  options.answers["radius"] = "50";
  const auto reading = read_table_json(text, "fuzz", options);
  if (!reading.ok()) {
    BIGHT_CHECK(!reading.failure().message.empty());
    return 0;
  }
  BIGHT_CHECK(reading->line.has_value());
  const std::string written = bends_json(*reading->line, reading->name)
                                  .dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
  const auto again = read_table_json(written, "fuzz");
  // Straights summed from several rows may go beyond the longest length there is.
  if (!again.ok()) {
    BIGHT_CHECK(again.failure().code == "json.value");
    return 0;
  }
  BIGHT_CHECK(again->line->table.num_bends() == reading->line->table.num_bends());
  return 0;
}

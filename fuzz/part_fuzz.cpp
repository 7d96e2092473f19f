// Any bytes as a part file: a part or a failure with a code, and a part is written as a file that
// reads as the same part.
#include <cstddef>
#include <cstdint>
#include <string>

#include "base/check.h"
#include "exchange/part_toml.h"
#include "exchange/part_toml_write.h"

using namespace bight;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  const auto file = exchange::read_part(text, "fuzz");
  if (!file.ok()) {
    BIGHT_CHECK(!file.failure().message.empty());
    return 0;
  }
  const auto again = exchange::read_part(exchange::part_toml(file->part, file->unit), "fuzz");
  // Merged rows can go beyond the longest length there is, and bytes that are no UTF-8 be refused.
  if (!again.ok()) return 0;
  BIGHT_CHECK(again->part.section == file->part.section);
  BIGHT_CHECK(again->part.table.num_bends() == file->part.table.num_bends());
  return 0;
}

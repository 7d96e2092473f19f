// Any bytes as a part file: a Failure with a code, or a part that lays out to finite points and is
// written as a file that reads as the same part.

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "base/check.h"
#include "exchange/part_toml.h"
#include "exchange/part_toml_write.h"
#include "geometry/centreline.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);  // NOLINT
  const bight::base::Result<bight::exchange::PartFile> file =
      bight::exchange::read_part(text, "fuzz.toml");
  if (!file.ok()) {
    BIGHT_CHECK(!file.failure().code.empty() && !file.failure().message.empty());
    return 0;
  }
  const bight::part::Part& part = file->part;
  BIGHT_CHECK(part.table.num_bends() <= 100000);
  const bight::geometry::Centreline line = bight::geometry::lay_out(part.table, part.start);
  BIGHT_CHECK(line.end_mm().allFinite());
  BIGHT_CHECK(part.table.reversed().reversed() == part.table);
  BIGHT_CHECK(part.table.mirrored().mirrored() == part.table);
  const auto again =
      bight::exchange::read_part(bight::exchange::part_toml(part, file->unit), "again.toml");
  // Straights merged from several rows can go beyond the longest length there is.
  if (again.ok()) {
    BIGHT_CHECK(again->part.section == part.section);
    BIGHT_CHECK(again->part.table.num_bends() == part.table.num_bends());
  }
  return 0;
}

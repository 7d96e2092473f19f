// Any bytes as a drawing: a line, questions or a failure with a code, within bounded work.
#include <cstddef>
#include <cstdint>
#include <string>

#include "base/check.h"
#include "exchange/dxf_read.h"
#include "exchange/dxf_write.h"

using namespace bight::exchange;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size < 1) return 0;
  // The first byte puts the binary form's opening text before the rest, which chance never finds.
  std::string bytes(reinterpret_cast<const char*>(data + 1), size - 1);
  if (data[0] & 1) bytes.insert(0, std::string("XXXXXXX Binary DXF\r\n\x1a\0", 22));
  LineOptions options;
  options.answers = {{"units", data[0] & 2 ? "mm" : "in"}, {"radius", "5"}, {"chain", "1"}};
  const auto reading = read_dxf(bytes, "fuzz", options);
  if (!reading.ok()) {
    BIGHT_CHECK(!reading.failure().message.empty());
    return 0;
  }
  BIGHT_CHECK(reading->line.has_value() == reading->questions.empty());
  if (reading->line) {
    BIGHT_CHECK(!dxf_centreline(reading->line->table, reading->line->start).empty());
  }
  return 0;
}

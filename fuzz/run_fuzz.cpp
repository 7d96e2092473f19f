// Run files of any bytes: read, written and read again with every event.
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "base/check.h"
#include "exchange/run_document.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  const auto document = bight::exchange::parse_toml(text, "run.toml");
  if (!document.ok()) return 0;
  const auto run = bight::exchange::read_run(*document);
  if (!run.ok()) return 0;
  static_cast<void>(bight::exchange::run_state_json(*run, bight::running::state_of(*run)));
  const auto again = bight::exchange::read_run(
      bight::exchange::document_of(bight::exchange::run_document(*run), "run"));
  BIGHT_CHECK(again.ok() && again->events.size() == run->events.size());
  return 0;
}

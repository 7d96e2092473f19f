// Any bytes as TOML: a Failure with a code, or a document that is written as TOML that reads as the
// same document.

#include <cstddef>
#include <cstdint>
#include <string_view>

#include "base/check.h"
#include "exchange/document.h"
#include "exchange/toml_text.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);  // NOLINT
  const auto document = bight::exchange::parse_toml(text, "fuzz.toml");
  if (!document.ok()) {
    BIGHT_CHECK(!document.failure().code.empty() && !document.failure().message.empty());
    return 0;
  }
  const std::string written = bight::exchange::toml_text(document->value);
  if (written.empty()) return 0;  // comments alone
  const auto again = bight::exchange::parse_toml(written, "again.toml");
  BIGHT_CHECK(again.ok());
  // As text, where what is not a number equals itself.
  BIGHT_CHECK(bight::exchange::toml_text(again->value) == written);
  return 0;
}

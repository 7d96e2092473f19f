// Any bytes as an archive, and as the JSON files within one: taken or refused with words, and what
// is read is written and read as the same. The first byte chooses, so that checksums of the zip do
// not keep everything out.
#include "records/archive.h"

#include <unistd.h>

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>

#include "base/check.h"
#include "records/archive_json.h"
#include "records/open.h"

using namespace bight::records;

namespace {

Store& shop() {
  static const std::string path = (std::filesystem::temp_directory_path() /
                                   ("bight_fuzz_" + std::to_string(::getpid()) + ".db"))
                                      .string();
  static const std::unique_ptr<Store> store = [] {
    auto opened = open_store(path, {});
    // The open connection is all that is needed.
    for (const char* end : {"", "-wal", "-shm"}) std::filesystem::remove(path + end);
    BIGHT_CHECK(opened.ok());
    return std::move(opened).value();
  }();
  return *store;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size == 0) return 0;
  const std::string bytes(reinterpret_cast<const char*>(data + 1), size - 1);
  if (*data == 'm') {
    const auto manifest = read_manifest(bytes);
    if (!manifest.ok()) return 0;
    BIGHT_CHECK(read_manifest(manifest_json(*manifest))->inventory == manifest->inventory);
  } else if (*data == 'r') {
    const auto bundle = read_bundle(bytes, "fuzz");
    if (!bundle.ok()) {
      BIGHT_CHECK(!bundle.failure().message.empty());
      return 0;
    }
    const auto again = read_bundle(bundle_json(*bundle), "fuzz");
    BIGHT_CHECK(again.ok() && again->revisions == bundle->revisions);
  } else {
    ArchiveLimits limits;
    limits.bytes_max = 1 << 22;
    limits.json_max = 1 << 20;
    const auto taken = read_archive_bytes(shop(), bytes, Taking::kLook, limits);
    BIGHT_CHECK(taken.ok() || !taken.failure().message.empty());
  }
  return 0;
}

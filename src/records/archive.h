// A shop, or one job of it, as one zip file: docs/formats/archive.md.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>

#include "base/result.h"
#include "records/store.h"

namespace bight::records {

// Writes the archive to `path`, which appears only when it is whole. The same shop gives the same
// bytes.
// Failure codes: archive.write, and those of Store::each_bundle and Store::blob.
base::Result<Inventory> write_archive(Store& store, const Scope& scope,
                                      const std::filesystem::path& path);

// The same in memory. Failure codes: archive.size (above 2 GB), and those of the stores.
base::Result<std::string> archive_bytes(Store& store, const Scope& scope);

// Limits of what is read from an archive.
struct ArchiveLimits {
  std::uint64_t entries_max = 2'000'000;
  std::uint64_t bytes_max = std::uint64_t{16} << 30U;  // unpacked, all together
  double ratio_max = 1000.0;  // unpacked to packed bytes; deflate cannot go beyond 1032
};

// Takes an archive into the store, in one transaction.
// Failure codes: archive.read (no such file, not a zip, cut off, a checksum that fails),
// archive.layout (names that are not in the format, twice the same, missing files), archive.bomb
// (beyond the limits), archive.newer (written by a newer Bight), archive.content (a JSON file that
// does not hold what the format says, an attachment that is not what its name says), and those of
// Store::take.
base::Result<TakingReport> read_archive(Store& store, const std::filesystem::path& path,
                                        Taking taking, const ArchiveLimits& limits = {});
base::Result<TakingReport> read_archive_bytes(Store& store, const std::string& bytes, Taking taking,
                                              const ArchiveLimits& limits = {});

}  // namespace bight::records

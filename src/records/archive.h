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

// The same in memory. Failure codes: archive.size (a record whose revisions together are larger
// than json_max), and those of the stores.
base::Result<std::string> archive_bytes(Store& store, const Scope& scope);

// Limits of what is read from an archive.
struct ArchiveLimits {
  std::uint64_t entries_max = 2'000'000;
  std::uint64_t json_max = std::uint64_t{256} << 20U;  // one record with all its revisions
  std::uint64_t bytes_max = std::uint64_t{16} << 30U;  // unpacked, all together
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

// Reads a whole shop's archive into a store of its own in a temporary file beside it, and says
// what is there. Failure codes: those of read_archive and of open_store.
base::Result<Inventory> archive_inventory(const std::filesystem::path& path,
                                          const ArchiveLimits& limits = {});

}  // namespace bight::records

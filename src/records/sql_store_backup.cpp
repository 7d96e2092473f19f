#include <fmt/format.h>
#include <soci/soci.h>

#include <utility>

#include "records/archive.h"
#include "records/files.h"
#include "records/rows.h"
#include "records/sql_store.h"

namespace bight::records {

namespace {

using base::Done;
using base::Failure;
using base::Result;
using base::Status;

Failure differs(const std::filesystem::path& to) {
  return Failure{"backup.differs", to.string(),
                 "The backup, read back, is not what was to be kept.",
                 "Look to the disk it was written on, and back up to another."};
}

// Why there is no copy. The shop's own troubles keep their code, the rest lies with the copy.
Failure write_failure(const Failure& failure, const std::filesystem::path& to) {
  for (const char* own : {"store.full", "store.lost", "store.busy", "blob.none", "blob.damaged"}) {
    if (failure.code == own) return failure;
  }
  return Failure{"backup.write", to.string(),
                 fmt::format("The backup cannot be written, or not read back: {}", failure.message),
                 "Look whether the folder is there, may be written and has room."};
}

// A copy of the file, looked through.
Result<Inventory> file_inventory(const std::filesystem::path& path) {
  BIGHT_TRY(Place place, place_named(path.string()));
  place.read_only = true;
  BIGHT_TRY(auto copy, SqlStore::open(place, {}));
  return copy->inventory(std::nullopt);
}

}  // namespace

// Writes a copy and gives what is in it, read back from the disk.
Result<Inventory> SqlStore::write_copy(const std::filesystem::path& copy) {
  if (database_->dialect() == Dialect::kPostgresql) {
    BIGHT_TRY(const Inventory written, write_archive(*this, {}, copy));
    static_cast<void>(written);  // what was meant; what counts is what can be read
    return archive_inventory(copy);
  }
  const Status copied = database_->plain([&copy](soci::session& session) -> Status {
    copy_file(session, copy.string());
    return Done{};
  });
  if (!copied.ok()) return copied.failure();
  return file_inventory(copy);
}

Result<Inventory> SqlStore::backup(const std::filesystem::path& to) {
  std::error_code unknown;
  if (std::filesystem::exists(to, unknown)) {
    return Failure{"backup.exists", to.string(), "There is a file of this name already.",
                   "Choose another name; a backup never replaces one."};
  }
  const std::filesystem::path copy = unfinished(to);
  discard(copy);
  const Result<Inventory> read = write_copy(copy);
  // What was changed since the copy was taken does not count: history up to a number stays as it
  // is.
  const Result<Inventory> here = read.ok() ? inventory(read->change) : read;
  if (!here.ok() || !(*read == *here)) {
    discard(copy);
    if (!read.ok()) return write_failure(read.failure(), to);
    return here.ok() ? differs(to) : here.failure();
  }
  const Status finished = finish_file(to, "backup.write");
  if (!finished.ok()) return finished.failure();
  return read;
}

}  // namespace bight::records

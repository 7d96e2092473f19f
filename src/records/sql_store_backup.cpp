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

Failure differs(const std::filesystem::path& to, std::string_view what) {
  return Failure{"backup.differs", to.string(),
                 fmt::format("The backup, read back, is not what was to be kept: {}.", what),
                 "Look to the disk it was written on, and back up to another."};
}

Failure write_failure(Failure failure, const std::filesystem::path& to) {
  if (failure.code == "store.full" || failure.code == "store.lost" ||
      failure.code == "store.damaged") {
    return failure;
  }
  return Failure{"backup.write", to.string(),
                 fmt::format("The backup cannot be written: {}", failure.message),
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

Result<Inventory> SqlStore::backup(const std::filesystem::path& to) {
  std::error_code error;
  if (std::filesystem::exists(to, error)) {
    return Failure{"backup.exists", to.string(), "There is a file of this name already.",
                   "Choose another name; a backup never replaces one."};
  }
  const std::filesystem::path copy = unfinished(to);
  discard(copy);
  const bool file = database_->dialect() == Dialect::kSqlite;
  const Status copied = file ? database_->plain([&](soci::session& session) -> Status {
    copy_file(session, copy.string());
    return Done{};
  })
                             : [&]() -> Status {
    const Result<Inventory> written = write_archive(*this, {}, copy);
    if (!written.ok()) return written.failure();
    return Done{};
  }();
  if (!copied.ok()) {
    discard(copy);
    return write_failure(copied.failure(), to);
  }
  const Result<Inventory> read = file ? file_inventory(copy) : archive_inventory(copy);
  const Result<Inventory> here = read.ok() ? inventory(read->change) : read;
  if (!here.ok() || !(*read == *here)) {
    discard(copy);
    if (!read.ok()) return differs(to, read.failure().text());
    if (!here.ok()) return here.failure();
    return differs(to, "its fingerprint is another");
  }
  const Status finished = finish_file(to, "backup.write");
  if (!finished.ok()) return finished.failure();
  return read;
}

}  // namespace bight::records

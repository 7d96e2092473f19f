// Opens a shop's store.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <string_view>

#include "base/result.h"
#include "records/clock.h"
#include "records/store.h"

namespace bight::records {

struct StoreOptions {
  // What lists show of a part. Called within writes, from several threads, with any JSON object; it
  // must not throw, and for a document it cannot read gives what it can.
  std::function<PartSummary(std::string_view document)> summarise;
  // Raise it when `summarise` gives other answers than before: parts are then summarised anew on
  // opening.
  std::int64_t summary_version = 1;
  // None: the computer's own. Must outlive the store.
  const Clock* clock = nullptr;
  // Where fresh ids get their random bits; none: the system's source. Called under a lock.
  std::function<std::uint64_t()> random_bits;
  // How long to wait for another writer before store.busy.
  std::chrono::milliseconds patience{5000};
};

// Opens the shop at `place`, making it on first use and bringing older tables up to date.
//   postgresql://user@host:port/database   a PostgreSQL server (any URI libpq takes)
//   anything else                          path of an SQLite file; its folder must exist
// Failure codes: store.open (no such folder, no such server, no permission, not a database of
// Bight), store.newer (written by a newer Bight), and those every function of Store can give.
base::Result<std::unique_ptr<Store>> open_store(const std::string& place,
                                                const StoreOptions& options);

}  // namespace bight::records

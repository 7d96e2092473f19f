#include "records/sql_store.h"

#include <fmt/format.h>
#include <soci/soci.h>
#include <sodium.h>

#include <utility>

#include "records/migrations.h"

namespace bight::records {

namespace {

using base::Done;
using base::Failure;
using base::Result;
using base::Status;

// A file that is only looked at is looked at closely, and must have today's tables.
Status check_read_only(Database& database) {
  BIGHT_TRY(const int number, schema_number(database));
  if (number != migrations().back().number) {
    return Failure{"store.open", database.place().description,
                   fmt::format("The tables in this file are of another version ({}).", number),
                   "Open it as a shop to bring it up to date."};
  }
  BIGHT_TRY(const std::string state,
            database.read(
                [](soci::session& session) -> Result<std::string> { return check_file(session); }));
  if (state == "ok") return Done{};
  return Failure{"store.damaged", database.place().description,
                 fmt::format("The shop's records are damaged. [{}]", state),
                 "Keep the file as it is, and open the latest backup in its place."};
}

}  // namespace

SqlStore::SqlStore(std::unique_ptr<Database> database, const StoreOptions& options)
    : database_(std::move(database)), options_(options) {}

Result<std::unique_ptr<SqlStore>> SqlStore::open(const Place& place, const StoreOptions& options) {
  BIGHT_CHECK(sodium_init() >= 0);
  BIGHT_TRY(auto database, Database::open(place));
  const Status ready = place.read_only ? check_read_only(*database) : migrate(*database);
  if (!ready.ok()) return ready.failure();
  std::unique_ptr<SqlStore> store(new SqlStore(std::move(database), options));
  if (!place.read_only) {
    const Status listed = store->summarise_anew();
    if (!listed.ok()) return listed.failure();
  }
  return store;
}

}  // namespace bight::records

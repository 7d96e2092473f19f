#include "records/open.h"

#include "records/sql_store.h"

namespace bight::records {

base::Result<std::unique_ptr<Store>> open_store(const std::string& place,
                                                const StoreOptions& options) {
  BIGHT_TRY(Place where, place_named(place));
  where.patience = options.patience;
  BIGHT_TRY(std::unique_ptr<SqlStore> store, SqlStore::open(where, options));
  return std::unique_ptr<Store>(std::move(store));
}

}  // namespace bight::records

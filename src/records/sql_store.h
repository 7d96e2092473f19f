// The store over either database.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <shared_mutex>
#include <string>
#include <vector>

#include "records/database.h"
#include "records/open.h"
#include "records/search_index.h"
#include "records/store.h"

namespace bight::records {

class SqlStore final : public Store {
 public:
  // A place as open_store takes it, with its limits. Failure codes: those of open_store.
  static base::Result<std::unique_ptr<SqlStore>> open(const Place& place,
                                                      const StoreOptions& options);

  Writing put(const Put& put) override;
  Writing undo(const Act& act, std::optional<std::int64_t> to) override;
  Writing withdraw(const Act& act) override;
  Writing restore(const Act& act) override;

  base::Result<Record> get(Kind kind, const RecordId& id) override;
  base::Result<Record> get_revision(Kind kind, const RecordId& id, std::int64_t revision) override;
  base::Result<std::vector<Revision>> history(const HistoryQuery& query) override;
  base::Result<RecordList> list(const ListQuery& query) override;
  base::Result<PartList> find_parts(const PartQuery& query) override;
  base::Result<PartLine> part_line(const RecordId& id) override;
  base::Result<std::int64_t> latest_change() override;
  base::Result<std::vector<Revision>> changes_since(std::int64_t seen, std::int64_t limit) override;

  base::Result<BlobId> keep_blob(const std::string& bytes) override;
  base::Result<std::string> blob(const BlobId& id) override;

  base::Status each_bundle(const Scope& scope,
                           const std::function<base::Status(const Bundle&)>& visit) override;
  base::Result<TakingReport> take(const BlobSource& blobs, const BundleSource& bundles,
                                  Taking taking) override;
  base::Result<Inventory> inventory(std::optional<std::int64_t> up_to) override;
  base::Result<Inventory> backup(const std::filesystem::path& to) override;
  std::string description() const override { return database_->place().description; }

 private:
  SqlStore(std::unique_ptr<Database> database, const StoreOptions& options);

  // One wish to change one record.
  struct Wish {
    Kind kind = Kind::kPart;
    std::optional<RecordId> id;
    std::int64_t expected_revision = 0;
    std::string who;
    std::string key;
    std::string hash;  // of everything asked for
  };
  // What the next revision holds; its place in history is filled in afterwards.
  using Maker = std::function<base::Result<Record>(soci::session&, const std::optional<Record>&)>;
  Writing write(const Wish& wish, const Maker& make);
  base::Result<Record> write_within(soci::session& session, const Wish& wish, const Maker& make,
                                    Writing& writing, bool& keep);
  Writing act(const Act& act, std::string_view verb, std::optional<std::int64_t> to,
              const Maker& make);
  RecordId fresh_id(soci::session& session, Kind kind, Instant at);
  Instant now() const;
  PartSummary summary_of(const Record& record) const;

  base::Result<Inventory> write_copy(const std::filesystem::path& copy);
  base::Status summarise_anew();
  base::Status refresh_index();

  std::unique_ptr<Database> database_;
  StoreOptions options_;
  SystemClock own_clock_;
  std::mutex random_;

  std::shared_mutex index_lock_;
  SearchIndex index_;
  std::int64_t index_change_ = 0;  // the change number up to which index_ knows
};

}  // namespace bight::records

// Rows of the tables as values, and back.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "base/result.h"
#include "records/dialect.h"
#include "records/record.h"

namespace soci {
class session;
}

namespace bight::records {

// The most that a list gives at once, and the furthest it starts.
inline constexpr std::int64_t kLimitMost = 100'000;

// Parameters of a statement, by name without the colon.
using Value = std::variant<long long, std::string>;
using Values = std::vector<std::pair<std::string, Value>>;

// All functions throw what SOCI throws; database.h turns that into failures. A row that cannot be
// one of ours is store.damaged.

enum class Documents { kWith, kWithout };

// Visits rows of bight_revision v; `rest` is all that follows SELECT's columns, from FROM on.
base::Status each_revision(soci::session& session, const std::string& rest, const Values& values,
                           Documents documents, const std::function<base::Status(Record&&)>& visit);
base::Result<std::vector<Record>> revisions(soci::session& session, const std::string& rest,
                                            const Values& values, Documents documents);
// Visits parts with their summaries: rows of bight_part p joined with their present revision v.
// `rest` follows the join: WHERE ….
base::Status each_part(soci::session& session, const std::string& rest, const Values& values,
                       const std::function<base::Status(PartLine&&)>& visit);

// A statement without rows.
void run(soci::session& session, const std::string& sql, const Values& values = {});
// One whole number; nothing without a row.
std::optional<std::int64_t> number(soci::session& session, const std::string& sql,
                                   const Values& values = {});
// One text; nothing without a row.
std::optional<std::string> text(soci::session& session, const std::string& sql,
                                const Values& values = {});

std::optional<Record> present_record(soci::session& session, Kind kind, const RecordId& id);

// Takes the write lock of the shop and gives its latest change number.
std::int64_t locked_change(soci::session& session);
void set_change(soci::session& session, std::int64_t change);

// Keeps bytes under their name; false if they were there.
bool keep_bytes(Dialect dialect, soci::session& session, const BlobId& id,
                const std::string& bytes);

// Appends revisions, one statement prepared for many; each becomes the present one of its record.
class RevisionWriter {
 public:
  explicit RevisionWriter(soci::session& session);
  ~RevisionWriter();
  void write(const Record& record);
  // The summary of a part whose revision was written before.
  void write_summary(const RecordId& id, const PartSummary& summary);

 private:
  struct Statements;
  std::unique_ptr<Statements> statements_;
};

}  // namespace bight::records

#include <fmt/format.h>
#include <soci/soci.h>

#include <utility>

#include "records/fingerprint.h"
#include "records/rows.h"
#include "records/sql_store.h"

namespace bight::records {

namespace {

using base::Done;
using base::Failure;
using base::Result;
using base::Status;

// Records fetched at a time when all are wanted: a server hands over each fetch as a whole.
constexpr long long kFetchLines = 200;

constexpr std::string_view kPresent =
    "FROM bight_record r JOIN bight_revision v ON v.kind = r.kind AND v.id = r.id AND "
    "v.revision = r.revision";

Failure none(Kind kind, const RecordId& id, std::string_view what) {
  return Failure{"record.none", fmt::format("{}/{}", kind_name(kind), id.text()),
                 fmt::format("There is no such {}.", what),
                 "It may be in another shop, or was never stored."};
}

Failure no_blob(const BlobId& id) {
  return Failure{"blob.none", id.text(), "The attachment's bytes are not there.",
                 "They may be in a backup."};
}

Status check_limits(std::int64_t limit, std::int64_t from) {
  if (limit >= 0 && limit <= kLimitMost && from >= 0) return Done{};
  return Failure{"record.limit", "limit",
                 fmt::format("{} lines from {} cannot be listed.", limit, from),
                 fmt::format("A limit from 0 to {}, from 0 on.", kLimitMost)};
}

std::string name_of(Kind kind) { return std::string(kind_name(kind)); }

std::vector<Revision> heads(std::vector<Record>&& records) {
  std::vector<Revision> out;
  out.reserve(records.size());
  for (Record& record : records) out.push_back(std::move(record.head));
  return out;
}

Result<std::string> blob_within(Dialect dialect, soci::session& session, const BlobId& id) {
  auto read =
      text(session,
           fmt::format("SELECT {} FROM bight_blob WHERE id = :id", bytes_column(dialect, "bytes")),
           {{"id", id.text()}});
  if (!read) return no_blob(id);
  std::string bytes = read_bytes(dialect, std::move(*read));
  if (BlobId::of(bytes) != id) {
    return Failure{"blob.damaged", id.text(), "The attachment's bytes are not those once kept.",
                   "Take them from a backup."};
  }
  return bytes;
}

}  // namespace

Result<Record> SqlStore::get(Kind kind, const RecordId& id) {
  return database_->read([&](soci::session& session) -> Result<Record> {
    auto record = present_record(session, kind, id);
    if (!record) return none(kind, id, "record");
    return std::move(*record);
  });
}

Result<Record> SqlStore::get_revision(Kind kind, const RecordId& id, std::int64_t revision) {
  return database_->read([&](soci::session& session) -> Result<Record> {
    BIGHT_TRY(std::vector<Record> found,
              revisions(session,
                        "FROM bight_revision v WHERE v.kind = :kind AND v.id = :id AND "
                        "v.revision = :revision",
                        {{"kind", name_of(kind)},
                         {"id", id.text()},
                         {"revision", static_cast<long long>(revision)}},
                        Documents::kWith));
    if (found.empty()) return none(kind, id, fmt::format("record with a revision {}", revision));
    return std::move(found.front());
  });
}

Result<std::vector<Revision>> SqlStore::history(const HistoryQuery& query) {
  const Status fits = check_limits(query.limit, query.before);
  if (!fits.ok()) return fits.failure();
  std::string rest = "FROM bight_revision v WHERE 1 = 1";
  Values values{{"most", static_cast<long long>(query.limit)}};
  if (query.kind) {
    rest += " AND v.kind = :kind";
    values.emplace_back("kind", name_of(*query.kind));
  }
  if (query.id) {
    rest += " AND v.id = :id";
    values.emplace_back("id", query.id->text());
  }
  if (query.part) {
    rest += " AND (v.part = :part OR (v.kind = 'part' AND v.id = :part_id))";
    values.emplace_back("part", query.part->text());
    values.emplace_back("part_id", query.part->text());
  }
  if (query.before > 0) {
    rest += " AND v.change < :before";
    values.emplace_back("before", static_cast<long long>(query.before));
  }
  rest += " ORDER BY v.change DESC LIMIT :most";
  return database_->read([&](soci::session& session) -> Result<std::vector<Revision>> {
    BIGHT_TRY(std::vector<Record> found, revisions(session, rest, values, Documents::kWithout));
    return heads(std::move(found));
  });
}

Result<RecordList> SqlStore::list(const ListQuery& query) {
  const Status fits = check_limits(query.limit, query.from);
  if (!fits.ok()) return fits.failure();
  std::string condition = " WHERE r.kind = :kind";
  Values values{{"kind", name_of(query.kind)}};
  if (query.part) {
    condition += " AND r.part = :part";
    values.emplace_back("part", query.part->text());
  }
  if (!query.with_withdrawn) condition += " AND r.withdrawn = 0";
  return database_->read([&](soci::session& session) -> Result<RecordList> {
    RecordList out;
    out.total =
        number(session, "SELECT count(*) FROM bight_record r" + condition, values).value_or(0);
    Values paged = values;
    paged.emplace_back("most", static_cast<long long>(query.limit));
    paged.emplace_back("leave", static_cast<long long>(query.from));
    BIGHT_TRY(out.records, revisions(session,
                                     std::string(kPresent) + condition +
                                         " ORDER BY r.change DESC LIMIT :most OFFSET :leave",
                                     paged, Documents::kWith));
    return out;
  });
}

Result<std::int64_t> SqlStore::latest_change() {
  return database_->read([](soci::session& session) -> Result<std::int64_t> {
    return number(session, "SELECT change FROM bight_state").value_or(0);
  });
}

Result<std::vector<Revision>> SqlStore::changes_since(std::int64_t seen, std::int64_t limit) {
  const Status fits = check_limits(limit, 0);
  if (!fits.ok()) return fits.failure();
  return database_->read([&](soci::session& session) -> Result<std::vector<Revision>> {
    BIGHT_TRY(
        std::vector<Record> found,
        revisions(session,
                  "FROM bight_revision v WHERE v.change > :seen ORDER BY v.change "
                  "LIMIT :most",
                  {{"seen", static_cast<long long>(seen)}, {"most", static_cast<long long>(limit)}},
                  Documents::kWithout));
    return heads(std::move(found));
  });
}

Result<BlobId> SqlStore::keep_blob(const std::string& bytes) {
  if (bytes.size() > kLargestBlob) {
    return Failure{"blob.size", "", fmt::format("The attachment has {} bytes.", bytes.size()),
                   fmt::format("At most {} bytes.", kLargestBlob)};
  }
  return database_->write([&](soci::session& session) -> Result<BlobId> {
    BlobId id = BlobId::of(bytes);
    keep_bytes(database_->dialect(), session, id, bytes);
    return id;
  });
}

Result<std::string> SqlStore::blob(const BlobId& id) {
  return database_->read(
      [&](soci::session& session) { return blob_within(database_->dialect(), session, id); });
}

Status SqlStore::each_bundle(const Scope& scope,
                             const std::function<Status(const Bundle&)>& visit) {
  std::string condition = " WHERE r.change > :after";
  Values values;
  if (scope.part) {
    condition += " AND (r.part = :part OR (r.kind = 'part' AND r.id = :part_id))";
    values = {{"part", scope.part->text()}, {"part_id", scope.part->text()}};
  }
  return database_->read([&](soci::session& session) -> Status {
    if (scope.part && !present_record(session, Kind::kPart, *scope.part)) {
      return none(Kind::kPart, *scope.part, "part");
    }
    for (std::int64_t after = 0;;) {
      Values fetch = values;
      fetch.emplace_back("after", static_cast<long long>(after));
      Values span = fetch;
      span.emplace_back("most", kFetchLines);
      const auto last = number(session,
                               "SELECT max(s.change) FROM (SELECT r.change FROM bight_record r" +
                                   condition + " ORDER BY r.change LIMIT :most) s",
                               span);
      if (!last) return Done{};
      fetch.emplace_back("last", static_cast<long long>(*last));
      Bundle bundle;
      const Status read = each_revision(
          session,
          "FROM bight_record r JOIN bight_revision v ON v.kind = r.kind AND v.id = r.id" +
              condition + " AND r.change <= :last ORDER BY r.change, v.revision",
          fetch, Documents::kWith, [&](Record&& record) -> Status {
            if (record.head.revision == 1 && !bundle.revisions.empty()) {
              const Status went = visit(bundle);
              if (!went.ok()) return went;
              bundle.revisions.clear();
            }
            bundle.revisions.push_back(std::move(record));
            return Done{};
          });
      if (!read.ok()) return read;
      const Status went = visit(bundle);
      if (!went.ok()) return went;
      after = *last;
    }
  });
}

Result<Inventory> SqlStore::inventory(std::optional<std::int64_t> up_to) {
  return database_->read([&](soci::session& session) -> Result<Inventory> {
    Inventory out;
    out.change = number(session, "SELECT change FROM bight_state").value_or(0);
    if (up_to) out.change = std::min(out.change, *up_to);
    const auto end = static_cast<long long>(out.change);
    Fingerprint fingerprint;
    for (std::int64_t seen = 0;;) {
      const std::int64_t before = fingerprint.num_revisions();
      const Status read = each_revision(
          session,
          "FROM bight_revision v WHERE v.change > :seen AND v.change <= :last "
          "ORDER BY v.change LIMIT :most",
          {{"seen", static_cast<long long>(seen)}, {"last", end}, {"most", kFetchLines}},
          Documents::kWith, [&](Record&& record) -> Status {
            fingerprint.add(record);
            if (record.head.revision == 1) ++out.records;
            seen = record.head.change;
            return Done{};
          });
      if (!read.ok()) return read.failure();
      if (fingerprint.num_revisions() == before) break;
    }
    out.revisions = fingerprint.num_revisions();
    out.fingerprint = fingerprint.text();
    for (std::string seen;;) {
      const auto next = text(session,
                             "SELECT min(blob) FROM bight_revision WHERE blob > :seen AND "
                             "change <= :last",
                             {{"seen", seen}, {"last", end}});
      if (!next) break;
      BIGHT_TRY(const BlobId id, BlobId::parse(*next));
      BIGHT_TRY(const std::string bytes, blob_within(database_->dialect(), session, id));
      ++out.blobs;
      seen = *next;
    }
    return out;
  });
}

}  // namespace bight::records

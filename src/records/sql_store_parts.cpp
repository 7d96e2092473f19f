#include <fmt/format.h>
#include <soci/soci.h>

#include <algorithm>
#include <map>
#include <utility>

#include "records/rows.h"
#include "records/sql_store.h"
#include "records/text_rules.h"

namespace bight::records {

namespace {

using base::Done;
using base::Failure;
using base::Result;
using base::Status;

constexpr std::size_t kLongestQuery = 1000;
constexpr std::size_t kFetch = 500;

// The parts named, in the order named.
Result<std::vector<PartLine>> lines_of(soci::session& session, const std::vector<RecordId>& ids) {
  std::vector<PartLine> out;
  out.reserve(ids.size());
  for (std::size_t start = 0; start < ids.size(); start += kFetch) {
    const std::size_t end = std::min(start + kFetch, ids.size());
    std::string names;
    // An id holds letters, digits, - and _ only: it can stand in a statement as it is.
    for (std::size_t i = start; i < end; ++i) {
      names += fmt::format("{}'{}'", i == start ? "" : ", ", ids[i].text());
    }
    std::map<std::string, PartLine> found;
    const Status read =
        each_part(session, fmt::format("WHERE r.kind = 'part' AND r.id IN ({})", names), {},
                  [&found](PartLine&& line) -> Status {
                    std::string id = line.head.id.text();
                    found.emplace(std::move(id), std::move(line));
                    return Done{};
                  });
    if (!read.ok()) return read.failure();
    for (std::size_t i = start; i < end; ++i) {
      const auto line = found.find(ids[i].text());
      if (line != found.end()) out.push_back(std::move(line->second));
    }
  }
  return out;
}

}  // namespace

// Brings index_ up to the latest change, whoever made it.
Status SqlStore::refresh_index() {
  BIGHT_TRY(const std::int64_t latest, latest_change());
  {
    const std::shared_lock lock(index_lock_);
    if (index_change_ >= latest) return Done{};
  }
  const std::unique_lock lock(index_lock_);
  // Gathered first: a failure half-way must not leave the index ahead of its number.
  struct Line {
    RecordId id;
    PartSummary summary;
    bool withdrawn;
  };
  std::vector<Line> changed;
  BIGHT_TRY(const std::int64_t now,
            database_->read([&](soci::session& session) -> Result<std::int64_t> {
              const Status read =
                  each_part(session, "WHERE r.kind = 'part' AND r.change > :seen ORDER BY r.change",
                            {{"seen", static_cast<long long>(index_change_)}},
                            [&changed](PartLine&& line) -> Status {
                              line.summary.picture.clear();
                              changed.push_back({std::move(line.head.id), std::move(line.summary),
                                                 line.head.withdrawn});
                              return Done{};
                            });
              if (!read.ok()) return read.failure();
              return number(session, "SELECT change FROM bight_state").value_or(0);
            }));
  for (const Line& line : changed) index_.put(line.id, line.summary, line.withdrawn);
  index_change_ = now;
  return Done{};
}

Result<PartList> SqlStore::find_parts(const PartQuery& query) {
  if (query.limit < 0 || query.limit > kLimitMost || query.from < 0) {
    return Failure{"record.limit", "limit",
                   fmt::format("{} parts from {} cannot be listed.", query.limit, query.from),
                   fmt::format("A limit from 0 to {}, from 0 on.", kLimitMost)};
  }
  const Status fits = check_text("search", query.words, kLongestQuery);
  if (!fits.ok()) return fits.failure();
  const Status fresh = refresh_index();
  if (!fresh.ok()) return fresh.failure();
  SearchIndex::Page page;
  {
    const std::shared_lock lock(index_lock_);
    page = index_.find(query.words, query.with_withdrawn, query.limit, query.from);
  }
  return database_->read([&](soci::session& session) -> Result<PartList> {
    PartList out{.total = page.total};
    BIGHT_TRY(out.parts, lines_of(session, page.ids));
    return out;
  });
}

Result<PartLine> SqlStore::part_line(const RecordId& id) {
  return database_->read([&](soci::session& session) -> Result<PartLine> {
    BIGHT_TRY(std::vector<PartLine> lines, lines_of(session, {id}));
    if (lines.empty()) {
      return Failure{"record.none", "part/" + id.text(), "There is no such part.",
                     "It may be in another shop, or was never stored."};
    }
    return std::move(lines.front());
  });
}

// Fills the list of parts when it was made by another version of the summary.
Status SqlStore::summarise_anew() {
  const auto wanted = static_cast<long long>(options_.summary_version);
  BIGHT_TRY(const bool current, database_->read([&](soci::session& session) -> Result<bool> {
    return number(session, "SELECT summary_version FROM bight_state") == wanted;
  }));
  if (current) return Done{};
  return database_->write([&](soci::session& session) -> Status {
    locked_change(session);
    RevisionWriter writer(session);
    for (std::string after;;) {
      BIGHT_TRY(const std::vector<Record> records,
                revisions(session,
                          "FROM bight_record r JOIN bight_revision v ON v.kind = r.kind AND "
                          "v.id = r.id AND v.revision = r.revision WHERE r.kind = 'part' AND "
                          "r.id > :after ORDER BY r.id LIMIT :most",
                          {{"after", after}, {"most", static_cast<long long>(kFetch)}},
                          Documents::kWith));
      if (records.empty()) break;
      for (const Record& record : records) {
        writer.write_summary(record.head.id, summary_of(record));
      }
      after = records.back().head.id.text();
    }
    run(session, "UPDATE bight_state SET summary_version = :version", {{"version", wanted}});
    return Done{};
  });
}

}  // namespace bight::records

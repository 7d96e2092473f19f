#include <fmt/format.h>
#include <soci/soci.h>

#include <algorithm>
#include <set>
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

// The end of the year 9999, the last that a date of four digits can say.
constexpr Instant kLatest{std::chrono::milliseconds(253'402'300'799'999)};

Failure broken(const Revision& head, std::string message) {
  return Failure{
      "record.broken",
      fmt::format("{}/{} revision {}", kind_name(head.kind), head.id.text(), head.revision),
      std::move(message), "What was brought is not a sound copy of a shop."};
}

// The history of a bundle holds together, taken for itself.
Status check_bundle(const Bundle& bundle) {
  if (bundle.revisions.empty()) {
    return Failure{"record.broken", "", "A record without any revision was brought.",
                   "What was brought is not a sound copy of a shop."};
  }
  const Revision& first = bundle.revisions.front().head;
  std::int64_t revision = 0;
  std::int64_t change = 0;
  for (const Record& record : bundle.revisions) {
    const Revision& head = record.head;
    if (head.kind != first.kind || head.id != first.id) {
      return broken(head, "Revisions of two records are mixed.");
    }
    if (head.revision != ++revision) return broken(head, "Revisions are missing or out of order.");
    if (head.change <= std::exchange(change, head.change)) {
      return broken(head, "Changes are out of order.");
    }
    if (head.content_of < 1 || head.content_of > head.revision) {
      return broken(head, "Its content is said to be that of a later revision.");
    }
    if (head.at < Instant{} || head.at > kLatest) return broken(head, "Its time is none.");
    if (head.kind == Kind::kPart && head.part) return broken(head, "A part belongs to a part.");
    Status sound = check_document(record.document);
    if (sound.ok()) sound = check_text("name", head.by, kLongestWho);
    if (!sound.ok()) return sound;
  }
  return Done{};
}

bool same_but_change(const Record& here, const Record& brought) {
  Record moved = brought;
  moved.head.change = here.head.change;
  return here == moved;
}

// Takes bundles into one open transaction.
class Taker {
 public:
  Taker(soci::session& session, std::function<PartSummary(const Record&)> summary_of)
      : session_(session),
        writer_(session),
        summary_of_(std::move(summary_of)),
        base_(locked_change(session)),
        last_(base_) {}

  Status blob(Dialect dialect, const std::string& bytes) {
    if (bytes.size() > kLargestBlob) {
      return Failure{"blob.size", "", fmt::format("An attachment has {} bytes.", bytes.size()),
                     fmt::format("At most {} bytes.", kLargestBlob)};
    }
    if (keep_bytes(dialect, session_, BlobId::of(bytes), bytes)) ++report_.blobs;
    return Done{};
  }

  Status bundle(const Bundle& bundle) {
    const Status sound = check_bundle(bundle);
    if (!sound.ok()) return sound;
    const Revision& head = bundle.revisions.front().head;
    BIGHT_TRY(const std::vector<Record> here,
              revisions(session_,
                        "FROM bight_revision v WHERE v.kind = :kind AND v.id = :id "
                        "ORDER BY v.revision",
                        {{"kind", std::string(kind_name(head.kind))}, {"id", head.id.text()}},
                        Documents::kWith));
    const std::size_t both = std::min(here.size(), bundle.revisions.size());
    for (std::size_t i = 0; i < both; ++i) {
      if (same_but_change(here[i], bundle.revisions[i])) continue;
      report_.differences.push_back(
          {.kind = head.kind,
           .id = head.id,
           .first_revision = static_cast<std::int64_t>(i + 1),
           .present_revision = static_cast<std::int64_t>(here.size()),
           .brought_revision = static_cast<std::int64_t>(bundle.revisions.size())});
      return Done{};
    }
    if (both == bundle.revisions.size()) {
      ++report_.same;
      return Done{};
    }
    ++(here.empty() ? report_.added : report_.continued);
    return append(bundle, both);
  }

  // After the last bundle. Failure codes: record.broken.
  Status close() {
    for (const std::string& part : parts_) {
      if (!number(session_, "SELECT revision FROM bight_record WHERE kind = 'part' AND id = :id",
                  {{"id", part}})) {
        return Failure{"record.broken", "part/" + part,
                       "Records were brought that belong to this part, but not the part.",
                       "What was brought is not a sound copy of a shop."};
      }
    }
    set_change(session_, last_);
    return Done{};
  }

  TakingReport report() const { return report_; }

 private:
  Status append(const Bundle& bundle, std::size_t from) {
    for (std::size_t i = from; i < bundle.revisions.size(); ++i) {
      Record record = bundle.revisions[i];
      if (!changes_.insert(record.head.change).second) {
        return broken(record.head, "Two revisions claim the same change.");
      }
      const Status referred = check_blob(record.head);
      if (!referred.ok()) return referred;
      if (record.head.part) parts_.insert(record.head.part->text());
      record.head.change += base_;
      last_ = std::max(last_, record.head.change);
      writer_.write(record);
    }
    const Record& latest = bundle.revisions.back();
    if (latest.head.kind == Kind::kPart) {
      writer_.write_summary(latest.head.id, summary_of_(latest));
    }
    return Done{};
  }

  Status check_blob(const Revision& head) {
    if (!head.blob || number(session_, "SELECT size FROM bight_blob WHERE id = :id",
                             {{"id", head.blob->text()}})) {
      return Done{};
    }
    return broken(head, "The bytes of its attachment were not brought.");
  }

  soci::session& session_;
  RevisionWriter writer_;
  const std::function<PartSummary(const Record&)> summary_of_;
  const std::int64_t base_;  // change numbers are moved behind this
  std::int64_t last_;
  std::set<std::int64_t> changes_;
  std::set<std::string> parts_;
  TakingReport report_;
};

}  // namespace

Result<TakingReport> SqlStore::take(const BlobSource& blobs, const BundleSource& bundles,
                                    Taking taking) {
  bool keep = true;
  return database_->write(
      [&](soci::session& session) -> Result<TakingReport> {
        Taker taker(session, [this](const Record& record) { return summary_of(record); });
        for (;;) {
          BIGHT_TRY(const std::optional<std::string> bytes, blobs());
          if (!bytes) break;
          const Status taken = taker.blob(database_->dialect(), *bytes);
          if (!taken.ok()) return taken.failure();
        }
        for (;;) {
          BIGHT_TRY(const std::optional<Bundle> bundle, bundles());
          if (!bundle) break;
          const Status taken = taker.bundle(*bundle);
          if (!taken.ok()) return taken.failure();
        }
        const Status closed = taker.close();
        if (!closed.ok()) return closed.failure();
        TakingReport report = taker.report();
        keep = taking == Taking::kTakeRest ||
               (taking == Taking::kAllOrNothing && report.differences.empty());
        report.written = keep;
        return report;
      },
      keep);
}

}  // namespace bight::records

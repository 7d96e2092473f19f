#include <fmt/format.h>
#include <soci/soci.h>
#include <sodium.h>

#include <algorithm>
#include <utility>

#include "records/fingerprint.h"
#include "records/rows.h"
#include "records/sql_store.h"
#include "records/text_rules.h"

namespace bight::records {

namespace {

using base::Done;
using base::Failure;
using base::Result;
using base::Status;

constexpr std::size_t kLongestKey = 128;
// A page that lost its connection repeats its wish within minutes, a tablet left over a long
// weekend within days.
constexpr long long kAnswersKept_ms = 7LL * 24 * 3600 * 1000;

Failure no_record(Kind kind, const RecordId& id) {
  return Failure{"record.none", fmt::format("{}/{}", kind_name(kind), id.text()),
                 "There is no such record.", "It may be in another shop, or was never stored."};
}

Failure conflict(const std::optional<Record>& present, std::int64_t expected) {
  if (!present) {
    return Failure{
        "record.none", "",
        fmt::format("Revision {} is to be changed, but there is no such record.", expected),
        "Store it as a new one."};
  }
  const Revision& head = present->head;
  const std::string where = fmt::format("{}/{}", kind_name(head.kind), head.id.text());
  if (expected == 0) {
    return Failure{"record.conflict", where, "There is a record of this name already.",
                   "Open it and change it, or choose another name."};
  }
  return Failure{"record.conflict", where,
                 fmt::format("{} changed this record meanwhile (revision {}, yours was made from "
                             "{}).",
                             head.by.empty() ? "Somebody" : head.by, head.revision, expected),
                 "Look at the present one and make your change there."};
}

Status check_who(const std::string& who, const std::string& key) {
  const Status fits = check_text("name", who, kLongestWho);
  return fits.ok() ? check_text("key", key, kLongestKey) : fits;
}

bool has_record(soci::session& session, Kind kind, const RecordId& id) {
  return number(session, "SELECT revision FROM bight_record WHERE kind = :kind AND id = :id",
                {{"kind", std::string(kind_name(kind))}, {"id", id.text()}})
      .has_value();
}

Status check_references(soci::session& session, Kind kind, const Put& put) {
  if (put.part && (kind == Kind::kPart || !has_record(session, Kind::kPart, *put.part))) {
    return Failure{"record.part", put.part->text(),
                   kind == Kind::kPart ? "A part cannot belong to a part."
                                       : "The part this belongs to is not there.",
                   "Store the part first and name it."};
  }
  if (put.blob &&
      !number(session, "SELECT size FROM bight_blob WHERE id = :id", {{"id", put.blob->text()}})) {
    return Failure{"record.blob", put.blob->text(), "The attachment's bytes are not there.",
                   "Send the bytes first, then the record that names them."};
  }
  return Done{};
}

struct Answer {
  std::string wish;
  Record record;
};

Result<std::optional<Answer>> known_answer(soci::session& session, const std::string& key) {
  const auto wish =
      text(session, "SELECT wish FROM bight_answer WHERE wish_key = :key", {{"key", key}});
  if (!wish) return std::optional<Answer>();
  BIGHT_TRY(std::vector<Record> found,
            revisions(session,
                      "FROM bight_answer a JOIN bight_revision v ON v.kind = a.kind AND "
                      "v.id = a.id AND v.revision = a.revision WHERE a.wish_key = :key",
                      {{"key", key}}, Documents::kWith));
  if (found.empty()) return std::optional<Answer>();
  return std::optional<Answer>(Answer{.wish = *wish, .record = std::move(found.front())});
}

void keep_answer(soci::session& session, const std::string& key, const std::string& wish,
                 const Revision& head) {
  const long long at_ms = head.at.time_since_epoch().count();
  run(session, "DELETE FROM bight_answer WHERE at_ms < :before",
      {{"before", at_ms - kAnswersKept_ms}});
  run(session,
      "INSERT INTO bight_answer (wish_key, wish, kind, id, revision, at_ms) "
      "VALUES (:key, :wish, :kind, :id, :revision, :at_ms)",
      {{"key", key},
       {"wish", wish},
       {"kind", std::string(kind_name(head.kind))},
       {"id", head.id.text()},
       {"revision", static_cast<long long>(head.revision)},
       {"at_ms", at_ms}});
}

// The revision to go back to, or why there is none.
Result<std::int64_t> undo_target(const Revision& present, std::optional<std::int64_t> to) {
  const std::int64_t target = to.value_or(present.content_of - 1);
  if (target < 1 || target >= present.revision) {
    return Failure{"record.undo", fmt::format("{}/{}", kind_name(present.kind), present.id.text()),
                   to ? fmt::format("There is no revision {} to go back to.", target)
                      : "This is how the record was first stored; there is nothing before it.",
                   to ? fmt::format("A revision from 1 to {}.", present.revision - 1) : ""};
  }
  return target;
}

}  // namespace

Instant SqlStore::now() const {
  // A computer whose clock has run down says 1970 or less.
  return std::max(Instant{}, options_.clock != nullptr ? options_.clock->now() : own_clock_.now());
}

PartSummary SqlStore::summary_of(const Record& record) const {
  return options_.summarise ? options_.summarise(record.document) : PartSummary{};
}

RecordId SqlStore::fresh_id(soci::session& session, Kind kind, Instant at) {
  const std::scoped_lock lock(random_);
  for (;;) {
    std::uint64_t bits = 0;
    if (options_.random_bits) {
      bits = options_.random_bits();
    } else {
      randombytes_buf(&bits, sizeof bits);
    }
    RecordId id = RecordId::fresh(at, bits);
    if (!has_record(session, kind, id)) return id;
  }
}

Result<Record> SqlStore::write_within(soci::session& session, const Wish& wish, const Maker& make,
                                      Writing& writing, bool& keep) {
  const std::int64_t change = locked_change(session) + 1;
  if (!wish.key.empty()) {
    BIGHT_TRY(auto answer, known_answer(session, wish.key));
    if (answer && answer->wish != wish.hash) {
      return Failure{"record.key", wish.key, "This key was used for another change.",
                     "A new key for each new change."};
    }
    if (answer) {
      keep = false;
      writing.repeated = true;
      return std::move(answer->record);
    }
  }
  const Instant at = now();
  const RecordId id = wish.id ? *wish.id : fresh_id(session, wish.kind, at);
  const std::optional<Record> present = present_record(session, wish.kind, id);
  const std::int64_t present_revision = present ? present->head.revision : 0;
  if (present_revision != wish.expected_revision) {
    writing.present = present;
    return conflict(present, wish.expected_revision);
  }
  BIGHT_TRY(Record next, make(session, present));
  next.head.id = id;
  next.head.revision = present_revision + 1;
  if (next.head.deed != Deed::kUndo) next.head.content_of = next.head.revision;
  next.head.change = change;
  next.head.at = at;
  next.head.by = wish.who;
  RevisionWriter writer(session);
  writer.write(next);
  if (wish.kind == Kind::kPart) writer.write_summary(id, summary_of(next));
  set_change(session, change);
  if (!wish.key.empty()) keep_answer(session, wish.key, wish.hash, next.head);
  return next;
}

Writing SqlStore::write(const Wish& wish, const Maker& make) {
  Writing writing{.result = Failure{}};
  bool keep = true;
  writing.result = database_->write(
      [&](soci::session& session) { return write_within(session, wish, make, writing, keep); },
      keep);
  return writing;
}

Writing SqlStore::put(const Put& put) {
  Status fits = check_document(put.document);
  if (fits.ok()) fits = check_who(put.who, put.key);
  if (!fits.ok()) return Writing{.result = fits.failure()};
  const Wish wish{
      .kind = put.kind,
      .id = put.id,
      .expected_revision = put.expected_revision,
      .who = put.who,
      .key = put.key,
      .hash =
          hash_of({"put", std::string(kind_name(put.kind)), put.id ? put.id->text() : "",
                   std::to_string(put.expected_revision), put.who, put.part ? put.part->text() : "",
                   put.blob ? put.blob->text() : "", put.document})};
  return write(
      wish, [&put](soci::session& session, const std::optional<Record>& present) -> Result<Record> {
        if (present && present->head.withdrawn) {
          return Failure{"record.withdrawn", present->head.id.text(), "This record is withdrawn.",
                         "Restore it first, then change it."};
        }
        const Status sound = check_references(session, put.kind, put);
        if (!sound.ok()) return sound.failure();
        Record next = present
                          ? *present
                          : Record{.head = {.kind = put.kind, .id = RecordId::fresh(Instant{}, 0)}};
        next.document = put.document;
        next.head.deed = Deed::kPut;
        if (put.part) next.head.part = put.part;
        if (put.blob) next.head.blob = put.blob;
        return next;
      });
}

Writing SqlStore::act(const Act& act, std::string_view verb, std::optional<std::int64_t> to,
                      const Maker& make) {
  const Status fits = check_who(act.who, act.key);
  if (!fits.ok()) return Writing{.result = fits.failure()};
  const Wish wish{.kind = act.kind,
                  .id = act.id,
                  .expected_revision = act.expected_revision,
                  .who = act.who,
                  .key = act.key,
                  .hash = hash_of({std::string(verb), std::string(kind_name(act.kind)),
                                   act.id.text(), std::to_string(act.expected_revision), act.who,
                                   to ? std::to_string(*to) : ""})};
  return write(wish,
               [&](soci::session& session, const std::optional<Record>& present) -> Result<Record> {
                 if (!present) return no_record(act.kind, act.id);
                 return make(session, present);
               });
}

Writing SqlStore::undo(const Act& wish, std::optional<std::int64_t> to) {
  return act(wish, "undo", to,
             [&](soci::session& session, const std::optional<Record>& present) -> Result<Record> {
               BIGHT_TRY(const std::int64_t target, undo_target(present->head, to));
               BIGHT_TRY(std::vector<Record> found,
                         revisions(session,
                                   "FROM bight_revision v WHERE v.kind = :kind AND v.id = :id "
                                   "AND v.revision = :revision",
                                   {{"kind", std::string(kind_name(wish.kind))},
                                    {"id", wish.id.text()},
                                    {"revision", static_cast<long long>(target)}},
                                   Documents::kWith));
               if (found.empty()) return no_record(wish.kind, wish.id);
               found.front().head.deed = Deed::kUndo;
               return std::move(found.front());
             });
}

Writing SqlStore::withdraw(const Act& wish) {
  return act(wish, "withdraw", std::nullopt,
             [](soci::session&, const std::optional<Record>& present) -> Result<Record> {
               if (present->head.withdrawn) {
                 return Failure{"record.withdrawn", present->head.id.text(),
                                "This record is withdrawn already.", ""};
               }
               Record next = *present;
               next.head.deed = Deed::kWithdraw;
               next.head.withdrawn = true;
               return next;
             });
}

Writing SqlStore::restore(const Act& wish) {
  return act(wish, "restore", std::nullopt,
             [](soci::session&, const std::optional<Record>& present) -> Result<Record> {
               if (!present->head.withdrawn) {
                 return Failure{"record.withdrawn", present->head.id.text(),
                                "This record is not withdrawn.", ""};
               }
               Record next = *present;
               next.head.deed = Deed::kRestore;
               next.head.withdrawn = false;
               return next;
             });
}

}  // namespace bight::records

// The shop's memory. One interface; SQLite and PostgreSQL behind it (open.h).
//
// Nothing is overwritten: each write appends a revision and takes the next change number of the
// whole shop. Change numbers become visible in order, also across processes, so a reader that has
// seen n finds everything later by asking for what is above n.
//
// All functions may be called from several threads at once, and several processes may hold the same
// shop open. None throws.
//
// Failure codes every function can give, beside those it names:
//   store.busy       somebody else was writing for longer than we wait
//   store.full       the disk is full
//   store.read-only  the folder or the database may not be written
//   store.damaged    the file is not, or no longer, a sound database of Bight
//   store.lost       the connection to the server broke; a write may or may not have happened, and
//                    with its key (Put::key) can be sent again safely
//   store.failed     anything else the database says, in its words
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "records/record.h"

namespace bight::records {

// What to write.
struct Put {
  Kind kind = Kind::kPart;
  std::optional<RecordId> id;  // none: a fresh one
  std::string document;        // one JSON object, at most kLargestDocument bytes
  // The revision this was made from: 0 when the record must not exist yet.
  std::int64_t expected_revision = 0;
  std::string who;  // initials, at most 32 bytes of UTF-8; may be empty
  // The part it belongs to, which must exist, and bytes kept before by keep_blob. None: as the
  // revision before has it.
  std::optional<RecordId> part;
  std::optional<BlobId> blob;
  // Names this one wish, at most 128 bytes; the same key again gives the first answer and writes
  // nothing, for at least seven days. Empty: none.
  std::string key;
};

// Undo, withdraw, restore: what is to happen to one record.
struct Act {
  Kind kind = Kind::kPart;
  RecordId id;
  std::int64_t expected_revision = 0;
  std::string who;
  std::string key;
};

// How a write ended.
struct Writing {
  base::Result<Record> result;    // the record as it now stands, or why it was not written
  std::optional<Record> present;  // on record.conflict where there is one: what stands there now
  bool repeated = false;          // the key was known: this is the first answer again
};

struct ListQuery {
  Kind kind = Kind::kPart;
  std::optional<RecordId> part;  // only what belongs to this part
  bool with_withdrawn = false;
  std::int64_t limit = 1000;  // 0 to 100 000
  std::int64_t from = 0;      // how many to leave out
};

struct RecordList {
  std::vector<Record> records;  // newest change first
  std::int64_t total = 0;       // without limit and from
};

struct PartQuery {
  // Words as typed, in any order; a part must have all of them (search_index.h says how a word is
  // held against a part). Empty: every part.
  std::string words;
  bool with_withdrawn = false;
  std::int64_t limit = 50;  // 0 to 100 000
  std::int64_t from = 0;
};

struct PartList {
  std::vector<PartLine> parts;  // newest change first
  std::int64_t total = 0;       // without limit and from
};

struct HistoryQuery {
  std::optional<Kind> kind;
  std::optional<RecordId> id;    // with kind: one record
  std::optional<RecordId> part;  // what belongs to this part, and the part itself
  std::int64_t limit = 1000;     // 0 to 100 000
  std::int64_t before = 0;       // only changes below this number; 0: from the latest on
};

// A record with all its revisions, as it travels between stores.
struct Bundle {
  std::vector<Record> revisions;  // 1, 2, 3, … of one record
};

// What to take out of a store.
struct Scope {
  std::optional<RecordId> part;  // this part and all that belongs to it; none: the whole shop
};

// What becomes of records that stand here with other content than they bring.
enum class Taking {
  kLook,          // writes nothing: what would happen
  kAllOrNothing,  // one difference, and nothing is written
  kTakeRest,      // those that differ stay as they are here; the rest is written
};

// One record whose revisions here and there differ, neither being a continuation of the other.
struct Difference {
  Kind kind = Kind::kPart;
  RecordId id;
  std::int64_t first_revision = 1;  // the first that differs
  std::int64_t present_revision = 1;
  std::int64_t brought_revision = 1;
};

struct TakingReport {
  std::int64_t added = 0;      // records that were not here
  std::int64_t continued = 0;  // records that got further revisions
  std::int64_t same = 0;       // records that stand here already, as brought or newer
  std::int64_t blobs = 0;      // attachments' bytes written
  std::vector<Difference> differences;
  bool written = false;
};

// Hands over one thing after the other, nothing at the end.
using BundleSource = std::function<base::Result<std::optional<Bundle>>()>;
using BlobSource = std::function<base::Result<std::optional<std::string>>()>;

// How much a store holds, and one hash over it.
struct Inventory {
  std::int64_t records = 0;
  std::int64_t revisions = 0;
  std::int64_t blobs = 0;
  std::int64_t change = 0;  // the change number up to which was counted
  std::string fingerprint;  // SHA-256 over every revision up to it, in order of change

  bool operator==(const Inventory&) const = default;
};

class Store {
 public:
  virtual ~Store() = default;

  // Appends a revision. On a part, its summary follows.
  // Failure codes: record.conflict (expected_revision is not the present one; Writing::present has
  // it), record.none (a revision is expected of a record that is not there), record.withdrawn (it
  // must be restored first), record.document (not one JSON object, too large or too deep),
  // record.text (who or key too long, not UTF-8, or with control characters), record.part (no such
  // part, or a part is to belong to a part), record.blob (no such bytes), record.key (the key was
  // used for another wish).
  virtual Writing put(const Put& put) = 0;

  // A new revision with the content the record had before: what revision `to` held or, without it,
  // one step further back than the present content, so that undoing again goes on backwards.
  // Failure codes: record.none, record.conflict, record.text, record.key, record.undo (nothing
  // before it, or no such revision).
  virtual Writing undo(const Act& act, std::optional<std::int64_t> to = std::nullopt) = 0;

  // Takes the record off the lists; it stays readable, and restore brings it back. Withdrawing what
  // is withdrawn, or restoring what is not, fails.
  // Failure codes: record.none, record.conflict, record.text, record.key, record.withdrawn (it is,
  // or it is not).
  virtual Writing withdraw(const Act& act) = 0;
  virtual Writing restore(const Act& act) = 0;

  // The present revision, withdrawn or not. Failure codes: record.none.
  virtual base::Result<Record> get(Kind kind, const RecordId& id) = 0;
  // Failure codes: record.none (no such record or revision).
  virtual base::Result<Record> get_revision(Kind kind, const RecordId& id,
                                            std::int64_t revision) = 0;
  // Who did what and when, newest first. Unknown records have no history, which is no failure.
  // Failure codes: record.limit.
  virtual base::Result<std::vector<Revision>> history(const HistoryQuery& query) = 0;

  // Failure codes: record.limit.
  virtual base::Result<RecordList> list(const ListQuery& query) = 0;
  // Failure codes: record.limit, record.text (not UTF-8, or longer than 1000 bytes).
  virtual base::Result<PartList> find_parts(const PartQuery& query) = 0;
  // The summary of one part. Failure codes: record.none.
  virtual base::Result<PartLine> part_line(const RecordId& id) = 0;

  // The number of the latest change, 0 in an empty shop.
  virtual base::Result<std::int64_t> latest_change() = 0;
  // What changed above `seen`, oldest first, by whatever process. Failure codes: record.limit.
  virtual base::Result<std::vector<Revision>> changes_since(std::int64_t seen,
                                                            std::int64_t limit = 1000) = 0;

  // Keeps bytes under their hash; keeping the same again changes nothing.
  // Failure codes: blob.size (above kLargestBlob).
  virtual base::Result<BlobId> keep_blob(const std::string& bytes) = 0;
  // Failure codes: blob.none, blob.damaged (the bytes no longer have that hash).
  virtual base::Result<std::string> blob(const BlobId& id) = 0;

  // Everything in scope, in order of each record's latest change, as it stood at one moment;
  // `visit` may not call this store. Stops at the first failure, which it gives.
  // Failure codes: record.none (no such part), and those of `visit`.
  virtual base::Status each_bundle(const Scope& scope,
                                   const std::function<base::Status(const Bundle&)>& visit) = 0;

  // Takes records with their revisions, ids, times and names as they are, in one transaction. In an
  // empty shop they keep their change numbers; in a filled one these are moved behind its own, so
  // that everyone watching sees them. Blobs come first and are checked against nothing but their
  // size. Sources may not call this store.
  // Failure codes: record.broken (revisions with gaps, out of order, of two records; a part or blob
  // nobody brought), blob.size, those of put for documents and texts, and those of the sources.
  virtual base::Result<TakingReport> take(const BlobSource& blobs, const BundleSource& bundles,
                                          Taking taking) = 0;

  // Counts and hashes what stood here when `up_to` was the latest change (none: now). Two stores
  // with the same fingerprint hold the same revisions, down to the byte.
  // Failure codes: blob.none, blob.damaged (every attachment's bytes are read and hashed).
  virtual base::Result<Inventory> inventory(std::optional<std::int64_t> up_to = std::nullopt) = 0;

  // Copies everything into the file `to` while others read and write, reads the copy back and
  // compares fingerprints; the file appears under its name only when it is sound. SQLite writes a
  // database (open it as a shop to restore), PostgreSQL an archive (archive.h).
  // Failure codes: backup.exists (`to` is there already), backup.write, backup.differs.
  virtual base::Result<Inventory> backup(const std::filesystem::path& to) = 0;

  // "SQLite, /srv/shop/bight.db", "PostgreSQL, host/database": for people, without passwords.
  virtual std::string description() const = 0;
};

}  // namespace bight::records

#include "records/migrations.h"

#include <fmt/format.h>
#include <soci/soci.h>

#include <array>
#include <string>

#include "records/database.h"

namespace bight::records {

namespace {

using base::Done;
using base::Failure;
using base::Result;
using base::Status;

// Records, their revisions, the bytes of attachments.
//
// bight_state is one row; whoever writes updates it first and so holds its lock until the end,
// which makes change numbers visible in order. bight_record holds what can be worked out from
// bight_revision, kept for speed: the present revision of each record.
constexpr std::string_view kRecords = R"sql(
CREATE TABLE bight_state (
  only_row {INTEGER} NOT NULL PRIMARY KEY CHECK (only_row = 1),
  schema_number {INTEGER} NOT NULL,
  change {INTEGER} NOT NULL CHECK (change >= 0)
) {STRICT};
INSERT INTO bight_state (only_row, schema_number, change) VALUES (1, 0, 0);
CREATE TABLE bight_blob (
  id {TEXT} NOT NULL PRIMARY KEY CHECK (length(id) = 64),
  size {INTEGER} NOT NULL CHECK (size >= 0),
  bytes {BLOB} NOT NULL
) {STRICT};
CREATE TABLE bight_record (
  kind {TEXT} NOT NULL,
  id {TEXT} NOT NULL,
  revision {INTEGER} NOT NULL CHECK (revision >= 1),
  change {INTEGER} NOT NULL UNIQUE,
  withdrawn {INTEGER} NOT NULL CHECK (withdrawn IN (0, 1)),
  part_kind {TEXT} NOT NULL DEFAULT 'part' CHECK (part_kind = 'part'),
  part {TEXT},
  PRIMARY KEY (kind, id),
  FOREIGN KEY (part_kind, part) REFERENCES bight_record (kind, id) DEFERRABLE INITIALLY DEFERRED
) {STRICT};
CREATE INDEX bight_record_by_kind ON bight_record (kind, change);
CREATE INDEX bight_record_by_part ON bight_record (part, kind, change);
CREATE TABLE bight_revision (
  kind {TEXT} NOT NULL,
  id {TEXT} NOT NULL,
  revision {INTEGER} NOT NULL CHECK (revision >= 1),
  change {INTEGER} NOT NULL UNIQUE,
  deed {TEXT} NOT NULL CHECK (deed IN ('put', 'undo', 'withdraw', 'restore')),
  content_of {INTEGER} NOT NULL CHECK (content_of BETWEEN 1 AND revision),
  at_ms {INTEGER} NOT NULL,
  who {TEXT} NOT NULL,
  withdrawn {INTEGER} NOT NULL CHECK (withdrawn IN (0, 1)),
  part {TEXT},
  blob {TEXT} REFERENCES bight_blob (id),
  document {TEXT} NOT NULL,
  PRIMARY KEY (kind, id, revision),
  FOREIGN KEY (kind, id) REFERENCES bight_record (kind, id)
) {STRICT};
CREATE INDEX bight_revision_by_part ON bight_revision (part, change);
)sql";

// The list of parts. summary_version 0 makes the opening store fill it.
constexpr std::string_view kPartList = R"sql(
ALTER TABLE bight_state ADD COLUMN summary_version {INTEGER} NOT NULL DEFAULT 0;
CREATE TABLE bight_part (
  kind {TEXT} NOT NULL DEFAULT 'part' CHECK (kind = 'part'),
  id {TEXT} NOT NULL PRIMARY KEY,
  name {TEXT} NOT NULL,
  customer {TEXT} NOT NULL,
  drawing {TEXT} NOT NULL,
  tube {TEXT} NOT NULL,
  od_mm {REAL},
  wall_mm {REAL},
  radii_mm {TEXT} NOT NULL,
  material {TEXT} NOT NULL,
  bends {INTEGER} NOT NULL,
  hand {TEXT} NOT NULL,
  search {TEXT} NOT NULL,
  picture {TEXT} NOT NULL,
  FOREIGN KEY (kind, id) REFERENCES bight_record (kind, id)
) {STRICT};
)sql";

// Answers to wishes that may be sent again.
constexpr std::string_view kAnswers = R"sql(
CREATE TABLE bight_answer (
  wish_key {TEXT} NOT NULL PRIMARY KEY,
  wish {TEXT} NOT NULL CHECK (length(wish) = 64),
  kind {TEXT} NOT NULL,
  id {TEXT} NOT NULL,
  revision {INTEGER} NOT NULL,
  at_ms {INTEGER} NOT NULL,
  FOREIGN KEY (kind, id, revision) REFERENCES bight_revision (kind, id, revision)
) {STRICT};
CREATE INDEX bight_answer_by_age ON bight_answer (at_ms);
)sql";

constexpr std::array<Migration, 3> kMigrations{{{1, kRecords}, {2, kPartList}, {3, kAnswers}}};

int number_within(Dialect dialect, soci::session& session) {
  if (!has_table(dialect, session, "bight_state")) return 0;
  int number = 0;
  session << "SELECT schema_number FROM bight_state", soci::into(number);
  return number;
}

void apply(Dialect dialect, soci::session& session, const Migration& step) {
  const std::string sql = in_dialect(dialect, step.sql);
  for (std::size_t start = 0;;) {
    const std::size_t end = sql.find(';', start);
    if (end == std::string::npos) break;
    session << sql.substr(start, end - start);
    start = end + 1;
  }
  session << "UPDATE bight_state SET schema_number = :number", soci::use(step.number);
}

}  // namespace

std::span<const Migration> migrations() { return kMigrations; }

Result<int> schema_number(Database& database) {
  return database.read([&](soci::session& session) -> Result<int> {
    if (is_foreign(database.dialect(), session)) {
      return Failure{"store.open", database.place().description,
                     "This is a database, but not one of Bight.",
                     "Name another file; Bight makes it on first use."};
    }
    return number_within(database.dialect(), session);
  });
}

Status migrate(Database& database, std::span<const Migration> steps) {
  const int latest = steps.empty() ? 0 : steps.back().number;
  BIGHT_TRY(int number, schema_number(database));
  while (number < latest) {
    BIGHT_TRY(number, database.write([&](soci::session& session) -> Result<int> {
      lock_tables(database.dialect(), session);
      // Another process may have been faster.
      const int now = number_within(database.dialect(), session);
      for (const Migration& step : steps) {
        if (step.number != now + 1) continue;
        apply(database.dialect(), session, step);
        return step.number;
      }
      return now;
    }));
  }
  if (number > latest) {
    return Failure{"store.newer", database.place().description,
                   fmt::format("A newer Bight has written these records (tables {}, known up to "
                               "{}).",
                               number, latest),
                   "Open them with that version, or a later one."};
  }
  return Done{};
}

}  // namespace bight::records

// Everything in which the two databases differ, in one place.
#pragma once

#include <chrono>
#include <exception>
#include <memory>
#include <string>
#include <string_view>

#include "base/result.h"

namespace soci {
class session;
}

namespace bight::records {

enum class Dialect { kSqlite, kPostgresql };

// Where a shop lies.
struct Place {
  Dialect dialect = Dialect::kSqlite;
  std::string connect;      // path of a file, or what libpq takes
  std::string description;  // for people, without passwords
  std::chrono::milliseconds patience{5000};
  bool read_only = false;  // SQLite: open what is there and change nothing
  int pages_max = 0;       // SQLite: pages the file may grow to, 0: any number
};

// postgresql:// and postgres:// name a server, anything else a file.
// Failure codes: store.open (an address libpq cannot read, a path SQLite cannot be given).
base::Result<Place> place_named(const std::string& text);

// A new connection, set up: foreign keys on, writes on the disk before they are acknowledged,
// waiting no longer than the patience. Throws soci::soci_error.
std::unique_ptr<soci::session> connect(const Place& place);

// False once the server is gone; a file never is.
bool is_connected(soci::session& session);

// Statements that open a transaction. A read sees one moment throughout. A write owns the
// database's write lock from the start in SQLite; in PostgreSQL the first statement on bight_state
// takes it.
std::string_view begin_read(Dialect dialect);
std::string_view begin_write(Dialect dialect);

// Fills in {INTEGER} (64 bit), {REAL} (double), {TEXT} (compared by bytes), {BLOB}, {STRICT}.
std::string in_dialect(Dialect dialect, std::string_view sql);

// Keeps other processes from changing tables until the transaction ends.
void lock_tables(Dialect dialect, soci::session& session);
bool has_table(Dialect dialect, soci::session& session, const std::string& name);
// A file that holds tables, none of them ours. A server's database may hold others beside ours.
bool is_foreign(Dialect dialect, soci::session& session);

// Bytes on their way into a column and out of it: what to write in the statement around the
// parameter or column, and what is bound to it or read from it.
std::string bytes_parameter(Dialect dialect, std::string_view name);
std::string bytes_column(Dialect dialect, std::string_view name);
std::string bound_bytes(Dialect dialect, const std::string& bytes);
std::string read_bytes(Dialect dialect, std::string text);

// A consistent copy of the whole file while others work with it. SQLite only; no transaction may
// be open. Throws soci::soci_error.
void copy_file(soci::session& session, const std::string& to);
// What is wrong inside the file, "ok" if nothing. SQLite only.
std::string check_file(soci::session& session);

// The exception of a statement as a failure (store.h lists the codes).
base::Failure failure_of(const Place& place, soci::session* session, const std::exception& error);
// The exception of connect().
base::Failure open_failure(const Place& place, const std::exception& error);

}  // namespace bight::records

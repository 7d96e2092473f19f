#include "records/dialect.h"

#include <fmt/format.h>
#include <soci/postgresql/soci-postgresql.h>
#include <soci/soci.h>
#include <soci/sqlite3/soci-sqlite3.h>
#include <sodium.h>

#include <array>
#include <filesystem>
#include <utility>

namespace bight::records {

namespace {

using base::Failure;
using base::Result;

Failure bad_place(std::string message, std::string remedy) {
  return Failure{"store.open", "", std::move(message), std::move(remedy)};
}

struct ConnectionInfo {
  explicit ConnectionInfo(const std::string& address)
      : options(PQconninfoParse(address.c_str(), &error)) {}
  ConnectionInfo(const ConnectionInfo&) = delete;
  ConnectionInfo& operator=(const ConnectionInfo&) = delete;
  ~ConnectionInfo() {
    PQconninfoFree(options);
    PQfreemem(error);
  }
  char* error = nullptr;
  PQconninfoOption* options;
};

// libpq's own keyword = 'value' form, where quotes and backslashes are escaped.
std::string keyword(std::string_view name, std::string_view value) {
  std::string out = fmt::format("{}='", name);
  for (const char c : value) {
    if (c == '\'' || c == '\\') out += '\\';
    out += c;
  }
  return out + "' ";
}

Result<Place> server_named(const std::string& address) {
  const ConnectionInfo info(address);
  if (info.options == nullptr) {
    return bad_place("The address of the database server cannot be read.",
                     "Write it as postgresql://user@host:port/database.");
  }
  Place place{.dialect = Dialect::kPostgresql};
  std::string host = "this computer";
  std::string database;
  // A server that went away is noticed within seconds instead of hours.
  std::vector<std::pair<std::string, std::string>> defaults{{"connect_timeout", "5"},
                                                            {"tcp_user_timeout", "10000"},
                                                            {"application_name", "bight"},
                                                            {"client_encoding", "UTF8"}};
  for (const PQconninfoOption* option = info.options; option->keyword != nullptr; ++option) {
    if (option->val == nullptr || *option->val == '\0') continue;
    const std::string name = option->keyword;
    place.connect += keyword(name, option->val);
    if (name == "host") host = option->val;
    if (name == "dbname") database = option->val;
    std::erase_if(defaults, [&name](const auto& known) { return known.first == name; });
  }
  for (const auto& [name, value] : defaults) place.connect += keyword(name, value);
  place.description = fmt::format("PostgreSQL, {}/{}", host, database);
  return place;
}

sqlite_api::sqlite3* file_of(soci::session& session) {
  return static_cast<soci::sqlite3_session_backend*>(session.get_backend())->conn_;
}

std::unique_ptr<soci::session> connect_file(const Place& place) {
  auto session = std::make_unique<soci::session>(
      soci::sqlite3,
      fmt::format("db=\"{}\"{}", place.connect, place.read_only ? " readonly=true" : ""));
  sqlite_api::sqlite3_extended_result_codes(file_of(*session), 1);
  sqlite_api::sqlite3_busy_timeout(file_of(*session), static_cast<int>(place.patience.count()));
  *session << "PRAGMA foreign_keys = ON";
  *session << "PRAGMA trusted_schema = OFF";
  *session << "PRAGMA cell_size_check = ON";
  *session << "PRAGMA synchronous = FULL";
  if (place.pages_max > 0) *session << fmt::format("PRAGMA max_page_count = {}", place.pages_max);
  std::string mode;
  if (!place.read_only) *session << "PRAGMA journal_mode = WAL", soci::into(mode);
  return session;
}

std::unique_ptr<soci::session> connect_server(const Place& place) {
  auto session = std::make_unique<soci::session>(soci::postgresql, place.connect);
  auto* backend = static_cast<soci::postgresql_session_backend*>(session->get_backend());
  // libpq would print the server's notices on the error stream.
  PQsetNoticeProcessor(
      backend->conn_, [](void*, const char*) {}, nullptr);
  *session << fmt::format("SET lock_timeout = {}", place.patience.count());
  *session << "SET client_min_messages = warning";
  *session << "SET synchronous_commit = on";
  return session;
}

std::string file_code(int result) {
  // The lowest byte is the primary code (sqlite.org, "Result and Error Codes").
  switch (result & 0xff) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return "store.busy";
    case SQLITE_FULL:
      return "store.full";
    case SQLITE_READONLY:
    case SQLITE_PERM:
      return "store.read-only";
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
      return "store.damaged";
    default:
      return "store.failed";
  }
}

std::string server_code(const std::string& state) {
  // PostgreSQL 15 documentation, appendix A.
  if (state == "55P03" || state == "40P01" || state == "40001") return "store.busy";
  if (state == "53100") return "store.full";
  if (state == "25006" || state == "42501") return "store.read-only";
  if (state == "XX001" || state == "XX002" || state == "58030") return "store.damaged";
  if (state.starts_with("08") || state.starts_with("57P")) return "store.lost";
  return "store.failed";
}

struct Words {
  std::string_view code;
  std::string_view message;
  std::string_view remedy;
};

constexpr std::array<Words, 6> kWords{{
    {"store.busy", "Somebody else is writing to the shop's records, for too long.",
     "Try again in a moment."},
    {"store.full", "The disk that holds the shop's records is full; nothing was changed.",
     "Make room on it and try again."},
    {"store.read-only", "The shop's records may be read but not written.",
     "Give the account that Bight runs under the right to write there."},
    {"store.damaged", "The shop's records are damaged.",
     "Keep the file as it is, and open the latest backup in its place."},
    {"store.lost", "The connection to the shop's database broke.",
     "Look whether the server runs, then try again."},
    {"store.failed", "The shop's database refuses.", "The words in brackets are the database's."},
}};

// The database's own words, on one line.
std::string own_words(const std::exception& error) {
  const auto* known = dynamic_cast<const soci::soci_error*>(&error);
  std::string text = known != nullptr ? known->get_error_message() : error.what();
  for (char& c : text) c = static_cast<unsigned char>(c) < 0x20 ? ' ' : c;
  while (!text.empty() && text.back() == ' ') text.pop_back();
  return text;
}

}  // namespace

Result<Place> place_named(const std::string& text) {
  if (text.starts_with("postgresql://") || text.starts_with("postgres://")) {
    return server_named(text);
  }
  if (text.empty()) {
    return bad_place("No place is named for the shop's records.", "Name a file or a server.");
  }
  for (const char c : text) {
    if (c == '"' || static_cast<unsigned char>(c) < 0x20) {
      return bad_place("The path of the shop's records holds a quote or a control character.",
                       "Choose a folder and a file name without them.");
    }
  }
  // In full: a later change of folder must not matter, and no name means anything special.
  std::error_code unknown;
  Place place{.dialect = Dialect::kSqlite,
              .connect = std::filesystem::absolute(text, unknown).string()};
  place.description = "SQLite, " + place.connect;
  return place;
}

std::unique_ptr<soci::session> connect(const Place& place) {
  return place.dialect == Dialect::kSqlite ? connect_file(place) : connect_server(place);
}

bool is_connected(soci::session& session) {
  if (session.get_backend_name() != "postgresql") return true;
  const auto* server = static_cast<soci::postgresql_session_backend*>(session.get_backend());
  return PQstatus(server->conn_) == CONNECTION_OK;
}

std::string_view begin_read(Dialect dialect) {
  return dialect == Dialect::kSqlite ? "BEGIN" : "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY";
}

std::string_view begin_write(Dialect dialect) {
  return dialect == Dialect::kSqlite ? "BEGIN IMMEDIATE" : "BEGIN ISOLATION LEVEL READ COMMITTED";
}

std::string in_dialect(Dialect dialect, std::string_view sql) {
  using Pair = std::pair<std::string_view, std::string_view>;
  static constexpr std::array<Pair, 5> kFile{{{"{INTEGER}", "INTEGER"},
                                              {"{REAL}", "REAL"},
                                              {"{TEXT}", "TEXT"},
                                              {"{BLOB}", "BLOB"},
                                              {"{STRICT}", "STRICT"}}};
  static constexpr std::array<Pair, 5> kServer{{{"{INTEGER}", "BIGINT"},
                                                {"{REAL}", "DOUBLE PRECISION"},
                                                {"{TEXT}", "TEXT COLLATE \"C\""},
                                                {"{BLOB}", "BYTEA"},
                                                {"{STRICT}", ""}}};
  std::string out(sql);
  for (const auto& [mark, word] : dialect == Dialect::kSqlite ? kFile : kServer) {
    for (std::size_t at = out.find(mark); at != std::string::npos; at = out.find(mark, at)) {
      out.replace(at, mark.size(), word);
    }
  }
  return out;
}

void lock_tables(Dialect dialect, soci::session& session) {
  // "bight" in ASCII. SQLite's write transaction is lock enough.
  if (dialect == Dialect::kPostgresql) session << "SELECT pg_advisory_xact_lock(422827354228)";
}

bool has_table(Dialect dialect, soci::session& session, const std::string& name) {
  int count = 0;
  if (dialect == Dialect::kSqlite) {
    session << "SELECT count(*) FROM sqlite_master WHERE type = 'table' AND name = :name",
        soci::use(name), soci::into(count);
  } else {
    session << "SELECT count(*) FROM pg_tables WHERE schemaname = current_schema() AND "
               "tablename = :name",
        soci::use(name), soci::into(count);
  }
  return count > 0;
}

bool is_foreign(Dialect dialect, soci::session& session) {
  if (dialect != Dialect::kSqlite) return false;
  int count = 0;
  session << "SELECT count(*) FROM sqlite_master", soci::into(count);
  return count > 0 && !has_table(dialect, session, "bight_state");
}

std::string bytes_parameter(Dialect dialect, std::string_view name) {
  return dialect == Dialect::kSqlite ? fmt::format("CAST({} AS BLOB)", name)
                                     : fmt::format("decode({}, 'hex')", name);
}

std::string bytes_column(Dialect dialect, std::string_view name) {
  return dialect == Dialect::kSqlite ? std::string(name) : fmt::format("encode({}, 'hex')", name);
}

std::string bound_bytes(Dialect dialect, const std::string& bytes) {
  if (dialect == Dialect::kSqlite) return bytes;
  std::string hex(2 * bytes.size() + 1, '\0');
  sodium_bin2hex(hex.data(), hex.size(), reinterpret_cast<const unsigned char*>(bytes.data()),
                 bytes.size());
  hex.pop_back();
  return hex;
}

std::string read_bytes(Dialect dialect, std::string text) {
  if (dialect == Dialect::kSqlite) return text;
  std::string bytes(text.size() / 2, '\0');
  std::size_t size = 0;
  sodium_hex2bin(reinterpret_cast<unsigned char*>(bytes.data()), bytes.size(), text.data(),
                 text.size(), nullptr, &size, nullptr);
  bytes.resize(size);
  return bytes;
}

void copy_file(soci::session& session, const std::string& to) {
  session << "VACUUM INTO :to", soci::use(to);
}

std::string check_file(soci::session& session) {
  std::string answer;
  session << "PRAGMA integrity_check(1)", soci::into(answer);
  if (answer != "ok") return answer;
  std::string table;
  session << "SELECT \"table\" FROM pragma_foreign_key_check LIMIT 1", soci::into(table);
  return table.empty() ? "ok" : "a reference from " + table + " leads nowhere";
}

Failure failure_of(const Place& place, soci::session* session, const std::exception& error) {
  std::string code = "store.failed";
  if (const auto* file = dynamic_cast<const soci::sqlite3_soci_error*>(&error)) {
    code = file_code(file->result());
  } else if (const auto* server = dynamic_cast<const soci::postgresql_soci_error*>(&error)) {
    code = server_code(server->sqlstate());
  }
  if (session != nullptr && !is_connected(*session)) code = "store.lost";
  for (const Words& words : kWords) {
    if (words.code != code) continue;
    return Failure{code, place.description, fmt::format("{} [{}]", words.message, own_words(error)),
                   std::string(words.remedy)};
  }
  return Failure{code, place.description, own_words(error), ""};
}

Failure open_failure(const Place& place, const std::exception& error) {
  Failure failure = failure_of(place, nullptr, error);
  if (failure.code == "store.busy" || failure.code == "store.full" ||
      failure.code == "store.damaged") {
    return failure;
  }
  const bool server = place.dialect == Dialect::kPostgresql;
  std::string remedy = "Look whether the server runs and its address, user and password are right.";
  if (!server) {
    std::error_code ignored;
    const auto folder = std::filesystem::absolute(place.connect, ignored).parent_path();
    const bool there = std::filesystem::is_directory(folder, ignored);
    if (there && failure.code == "store.read-only") return failure;
    remedy = there ? "Give the account that Bight runs under the right to write in that folder."
                   : "Make the folder first.";
  }
  return Failure{"store.open", place.description,
                 fmt::format("The shop's records cannot be opened. [{}]", own_words(error)),
                 remedy};
}

}  // namespace bight::records

// The shop's tables, step by step: docs/formats/records.md.
#pragma once

#include <span>
#include <string_view>

#include "base/result.h"
#include "records/dialect.h"

namespace soci {
class session;
}

namespace bight::records {

class Database;

struct Migration {
  int number = 0;        // the schema number it leads to; the first is 1, no gaps
  std::string_view sql;  // statements, each ended by a semicolon; marks of in_dialect()
};

// Oldest first. A released one is never changed: what comes later is a further one.
std::span<const Migration> migrations();

// The schema number of the database, 0 for an empty one.
// Failure codes: store.open (tables of something else), and those of store.h.
base::Result<int> schema_number(Database& database);

// Brings the tables up to the last of `steps`, each step in a transaction of its own.
// Failure codes: store.open, store.newer, and those of store.h.
base::Status migrate(Database& database, std::span<const Migration> steps = migrations());

}  // namespace bight::records

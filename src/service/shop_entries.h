// What one thing of the shop is as text and as a record, and what becomes of it when it is taken
// in.
#pragma once

#include <cstdint>
#include <map>
#include <nlohmann/json.hpp>
#include <set>
#include <string>
#include <vector>

#include "base/result.h"
#include "exchange/document.h"
#include "records/store.h"

namespace bight::service {

// One bender, die set, material, trial, tube in stock, the shop itself, or a part.
struct ShopEntry {
  records::Kind kind = records::Kind::kPart;
  std::string id;    // of its record
  std::string name;  // as people call it; empty where it has none
  nlohmann::ordered_json document;
  int line = 0;  // where it begins in its file
  // Its keys' lines; those of its tables and lists under the key that holds them.
  std::map<std::string, int> lines;
};

// The list of a shop folder's file that holds entries of this kind: "die_set" of die_sets.toml.
struct EntryList {
  records::Kind kind;
  const char* list;
  const char* file;
};
// In the order in which they must be read: materials before what names them.
const std::vector<EntryList>& entry_lists();

// Ids given to entries of one folder or one import, so that no two have the same.
using TakenIds = std::map<records::Kind, std::set<std::string>>;

// The entries of one list in a file's document; those of other lists are passed over.
// Failure codes: folder.list (an entry that is no table).
base::Result<std::vector<ShopEntry>> entries_of_list(const exchange::Document& document,
                                                     const EntryList& list, TakenIds& taken);

// All entries of a file of any kind: lists, the shop itself, or a part, whose id is the file's
// name. Failure codes: those of parse_toml, folder.list, folder.entry (nothing of the kind).
base::Result<std::vector<ShopEntry>> entries_of_file(const std::string& text,
                                                     const std::string& file, TakenIds& taken);

// Gives each entry the id of the record on the lists that bears its name, or that says the same
// where it has none, if there is one. Failure codes: those of the store.
base::Status find_records(records::Store& store, std::vector<ShopEntry>& entries);

enum class Deed { kAdd, kChange, kRestore, kSame };
// What taking an entry would do to its record, and which keys differ.
struct Fate {
  Deed deed = Deed::kAdd;
  std::int64_t revision = 0;  // that stands there; 0: none
  std::vector<std::string> keys;
};
// Failure codes: those of the store.
base::Result<Fate> fate_of(records::Store& store, const ShopEntry& entry);

// Makes it so. Failure codes: those of the store.
base::Result<Fate> take_entry(records::Store& store, const ShopEntry& entry,
                              const std::string& who);

// A record's document as a text file that entries_of_file() reads as the same document.
// Failure codes: folder.kind (no text file is written of records of this kind).
base::Result<std::string> entry_text(records::Kind kind, const nlohmann::ordered_json& document);

}  // namespace bight::service

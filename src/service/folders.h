// Text files of a shop folder and records: two doors to the same things.
//
//   shop.toml       the record "house" of kind house
//   benders.toml    each [[bender]] a record, likewise die_sets.toml,
//                   materials.toml, stock.toml and trials.toml
//   parts/*.toml    each a part, its id the file's name
//
// A record's document is the entry with its keys in their order, and the file's schema, units and
// decimal_mark. Writing the folder and taking it again gives the same documents.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "base/result.h"
#include "exchange/shop_toml.h"
#include "records/store.h"

namespace bight::service {

struct FolderTexts {
  exchange::ShopTexts shop;
  std::vector<std::pair<std::string, std::string>> parts;  // file name and text
  std::string name;                                        // of the folder, for messages
};

// Failure codes: file.missing (no shop.toml), those of read_text_file.
base::Result<FolderTexts> read_folder_texts(const std::filesystem::path& folder);

struct TakenFolder {
  std::int64_t added = 0;      // records that were not here
  std::int64_t continued = 0;  // got a further revision
  std::int64_t same = 0;       // stand here as they are
};
// Every entry that says something else than its record becomes a revision of it; its record is the
// one that bears its name. Everything is read before anything is written. A record that was
// withdrawn is restored first. Failure codes: those of parse_toml, folder.list (an entry that is no
// table), and of the store.
base::Result<TakenFolder> take_folder(records::Store& store, const FolderTexts& texts,
                                      const std::string& who);

// Writes what is on the lists into a new or empty folder.
// Failure codes: folder.exists (something is in it), folder.write, and those of the store.
base::Result<std::int64_t> write_folder(records::Store& store, const std::filesystem::path& folder);

// Where a shop keeps its data when nobody says: $BIGHT_DATA, $XDG_DATA_HOME/bight,
// ~/.local/share/bight.
std::filesystem::path usual_data_folder();

// The store that BIGHT_STORE names, else bight.db in the folder, which is made (for its owner
// alone) if it is not there.
// Failure codes: folder.write, and those of records::open_store.
base::Result<std::unique_ptr<records::Store>> open_shop(const std::filesystem::path& folder);

// The id itself, or with a number behind it, when somebody has taken it; then taken as well.
std::string free_id(std::set<std::string>& taken, const std::string& wanted);

// "38R114, long clamp" as an id: "38r114-long-clamp".
std::string slug(const std::string& name);

}  // namespace bight::service

#include "service/folders.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <map>
#include <nlohmann/json.hpp>
#include <set>

#include "exchange/document.h"
#include "exchange/exact_value.h"
#include "exchange/shop_write.h"
#include "exchange/text_file.h"
#include "exchange/toml_text.h"
#include "records/files.h"
#include "records/open.h"
#include "service/shop_entries.h"
#include "service/shop_view.h"
#include "service/summary.h"

namespace bight::service {

using base::Failure;
using base::Result;
using records::Kind;
using Json = nlohmann::ordered_json;

namespace {

constexpr const char* kFileKeys[] = {"schema", "units", "decimal_mark"};

std::string folder_text(const FolderTexts& texts, Kind kind) {
  switch (kind) {
    case Kind::kBender:
      return texts.shop.benders;
    case Kind::kDieSet:
      return texts.shop.die_sets;
    case Kind::kMaterial:
      return texts.shop.materials;
    case Kind::kTube:
      return texts.shop.stock;
    default:
      return texts.shop.trials;
  }
}

Result<std::vector<ShopEntry>> entries_of(const FolderTexts& texts) {
  std::vector<ShopEntry> entries;
  const auto in_folder = [&](const char* name) { return texts.name + "/" + name; };
  BIGHT_TRY(exchange::Document house,
            exchange::parse_toml(texts.shop.shop, in_folder("shop.toml")));
  entries.push_back({Kind::kHouse, kHouse, "", std::move(house.value), 1, {}});
  TakenIds taken;
  for (const EntryList& list : entry_lists()) {
    const std::string text = folder_text(texts, list.kind);
    if (text.empty()) continue;
    BIGHT_TRY(const exchange::Document document, exchange::parse_toml(text, in_folder(list.file)));
    BIGHT_TRY(std::vector<ShopEntry> some, entries_of_list(document, list, taken));
    std::move(some.begin(), some.end(), std::back_inserter(entries));
  }
  for (const auto& [name, text] : texts.parts) {
    BIGHT_TRY(exchange::Document part, exchange::parse_toml(text, name));
    const std::string stem = std::filesystem::path(name).stem().string();
    entries.push_back(
        {Kind::kPart, free_id(taken[Kind::kPart], slug(stem)), "", std::move(part.value), 1, {}});
  }
  return entries;
}

// An entry whose file says otherwise how lengths are written is written anew in millimetres.
template <typename Item>
Result<Json> in_mm(const Json& document, Result<Item> (*read)(const exchange::Document&),
                   Json (*write)(const Item&, base::LengthUnit),
                   const exchange::KnownMetals& metals = nullptr) {
  BIGHT_TRY(const Item item, read(exchange::document_of(document, "", metals)));
  return write(item, base::LengthUnit::kMillimetre);
}

Result<Json> plain_entry(Kind kind, const Json& document, const exchange::KnownMetals& metals) {
  if (kind == Kind::kBender) {
    return in_mm(document, exchange::read_bender, exchange::bender_document);
  }
  if (kind == Kind::kDieSet) {
    return in_mm(document, exchange::read_die_set, exchange::die_set_document);
  }
  if (kind == Kind::kTube) {
    return in_mm(document, exchange::read_stock_tube, exchange::stock_tube_document, metals);
  }
  if (kind == Kind::kMaterial) {
    return in_mm(document, exchange::read_material, exchange::material_document);
  }
  return in_mm(document, exchange::read_trial, exchange::trial_document, metals);
}

std::string rules_of(const Json& document) {
  return document.value("units", "mm") + " " + document.value("decimal_mark", "point");
}

// One file of entries: what most of them say of units stands once.
Result<std::string> list_text(records::Store& store, Kind kind, const char* list,
                              const exchange::KnownMetals& metals) {
  BIGHT_TRY(const std::vector<records::Record> all, records_in_order(store, kind));
  if (all.empty()) return std::string();
  std::vector<Json> documents;
  std::set<std::string> rules;
  for (const records::Record& record : all) {
    documents.push_back(Json::parse(record.document, nullptr, false));
    const bool plain =
        documents.back().value("units", Json()).is_string() || !documents.back().contains("units");
    rules.insert(plain ? rules_of(documents.back()) : "");
  }
  Json file = Json::object();
  file["schema"] = 1;
  const bool same = rules.size() == 1 && !rules.contains("");
  if (same) {
    for (const char* key : kFileKeys) {
      if (documents.front().contains(key)) file[key] = documents.front().at(key);
    }
  }
  file[list] = Json::array();
  for (Json& document : documents) {
    if (!same) {
      BIGHT_TRY(document, plain_entry(kind, document, metals));
    }
    for (const char* key : kFileKeys) document.erase(key);
    file[list].push_back(std::move(document));
  }
  return exchange::toml_text(file);
}

base::Status write_text(const std::filesystem::path& path, const std::string& text) {
  if (text.empty()) return base::Done{};
  return records::write_whole(path, text, "folder.write");
}

}  // namespace

std::filesystem::path usual_data_folder() {
  const auto named = [](const char* variable) {
    const char* text = std::getenv(variable);
    return std::filesystem::path(text == nullptr ? "" : text);
  };
  if (const auto folder = named("BIGHT_DATA"); !folder.empty()) return folder;
  if (const auto folder = named("XDG_DATA_HOME"); !folder.empty()) return folder / "bight";
  return named("HOME") / ".local" / "share" / "bight";
}

Result<std::unique_ptr<records::Store>> open_shop(const std::filesystem::path& folder) {
  records::StoreOptions options;
  options.summarise = summarise;
  options.summary_version = kSummaryVersion;
  const char* place = std::getenv("BIGHT_STORE");
  if (place != nullptr && *place != '\0') return records::open_store(place, options);
  std::error_code error;
  const bool fresh = std::filesystem::create_directories(folder, error);
  if (error) {
    return Failure{"folder.write", folder.string(), "the folder cannot be made", error.message()};
  }
  if (fresh) {
    std::filesystem::permissions(folder, std::filesystem::perms::owner_all, error);
  }
  return records::open_store((folder / "bight.db").string(), options);
}

std::string free_id(std::set<std::string>& taken, const std::string& wanted) {
  std::string id = wanted;
  for (int i = 2; !taken.insert(id).second; ++i) id = fmt::format("{}-{}", wanted.substr(0, 58), i);
  return id;
}

std::string slug(const std::string& name) {
  std::string out;
  for (const char c : name) {
    const char small = static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
    const bool plain = (small >= 'a' && small <= 'z') || (small >= '0' && small <= '9') ||
                       small == '_' || small == '-';
    if (plain) {
      out += small;
    } else if (!out.empty() && out.back() != '-') {
      out += '-';
    }
  }
  while (out.ends_with('-')) out.pop_back();
  if (out.size() > 60) {
    out = out.substr(0, 47) + "-" + records::BlobId::of(name).text().substr(0, 12);
  }
  return out.empty() ? "x-" + records::BlobId::of(name).text().substr(0, 12) : out;
}

Result<FolderTexts> read_folder_texts(const std::filesystem::path& folder) {
  FolderTexts texts;
  texts.name = folder.string();
  BIGHT_TRY(texts.shop.shop, exchange::read_text_file((folder / "shop.toml").string()));
  for (const auto& [name, into] :
       {std::pair<const char*, std::string*>{"benders.toml", &texts.shop.benders},
        {"die_sets.toml", &texts.shop.die_sets},
        {"trials.toml", &texts.shop.trials},
        {"materials.toml", &texts.shop.materials},
        {"stock.toml", &texts.shop.stock}}) {
    if (!std::filesystem::exists(folder / name)) continue;
    BIGHT_TRY(*into, exchange::read_text_file((folder / name).string()));
  }
  std::error_code none;
  std::vector<std::filesystem::path> parts;
  for (const auto& entry : std::filesystem::directory_iterator(folder / "parts", none)) {
    if (entry.path().extension() == ".toml") parts.push_back(entry.path());
  }
  std::sort(parts.begin(), parts.end());
  for (const std::filesystem::path& path : parts) {
    BIGHT_TRY(std::string text, exchange::read_text_file(path.string()));
    texts.parts.emplace_back(path.filename().string(), std::move(text));
  }
  return texts;
}

Result<TakenFolder> take_folder(records::Store& store, const FolderTexts& texts,
                                const std::string& who) {
  BIGHT_TRY(std::vector<ShopEntry> entries, entries_of(texts));
  BIGHT_TRY(const base::Done found, find_records(store, entries));
  static_cast<void>(found);
  TakenFolder taken;
  for (const ShopEntry& entry : entries) {
    BIGHT_TRY(const Fate fate, take_entry(store, entry, who));
    ++(fate.deed == Deed::kAdd                         ? taken.added
       : fate.deed == Deed::kSame || fate.keys.empty() ? taken.same
                                                       : taken.continued);
  }
  return taken;
}

Result<std::int64_t> write_folder(records::Store& store, const std::filesystem::path& folder) {
  std::error_code error;
  if (std::filesystem::exists(folder) && !std::filesystem::is_empty(folder, error)) {
    return Failure{"folder.exists", folder.string(), "there is something in this folder already",
                   "name a new one"};
  }
  std::filesystem::create_directories(folder / "parts", error);
  if (error) {
    return Failure{"folder.write", folder.string(), "the folder cannot be made", error.message()};
  }
  std::int64_t files = 0;
  BIGHT_TRY(const ShopView view, read_shop_view(store));
  BIGHT_TRY(const std::vector<records::Record> houses, records_in_order(store, Kind::kHouse));
  Json house = {{"schema", 1}, {"name", "Shop"}};
  for (const records::Record& record : houses) {
    if (record.head.id.text() == kHouse) house = Json::parse(record.document, nullptr, false);
  }
  BIGHT_TRY(base::Done done, write_text(folder / "shop.toml", exchange::toml_text(house)));
  ++files;
  for (const auto& [kind, list, name] : entry_lists()) {
    BIGHT_TRY(const std::string text, list_text(store, kind, list, view.metals));
    BIGHT_TRY(done, write_text(folder / name, text));
    files += text.empty() ? 0 : 1;
  }
  BIGHT_TRY(const std::vector<records::Record> parts, records_in_order(store, Kind::kPart));
  for (const records::Record& record : parts) {
    const Json document = Json::parse(record.document, nullptr, false);
    BIGHT_TRY(done, write_text(folder / "parts" / (record.head.id.text() + ".toml"),
                               exchange::toml_text(document)));
    ++files;
  }
  static_cast<void>(done);
  return files;
}

}  // namespace bight::service

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
#include "service/shop_view.h"
#include "service/summary.h"

namespace bight::service {

using base::Failure;
using base::Result;
using records::Kind;
using Json = nlohmann::ordered_json;

namespace {

struct Wanted {
  Kind kind = Kind::kPart;
  std::string id;
  Json document;
};

constexpr const char* kFileKeys[] = {"schema", "units", "decimal_mark"};

// An id nobody has taken yet in this folder.
std::string free_id(std::set<std::string>& taken, const std::string& wanted) {
  std::string id = wanted;
  for (int i = 2; !taken.insert(id).second; ++i) id = fmt::format("{}-{}", wanted.substr(0, 58), i);
  return id;
}

// 90.0 as 90: the same number, however it is written.
Json plain_numbers(const Json& value) {
  if (value.is_number_float()) return exchange::number_value(value.get<double>());
  if (!value.is_structured()) return value;
  Json out = value;
  for (auto& [key, member] : out.items()) member = plain_numbers(member);
  return out;
}

std::string id_of_entry(const Json& entry, Kind kind) {
  const auto name = entry.find("name");
  if (kind != Kind::kTrial && name != entry.end() && name->is_string()) {
    return slug(name->get<std::string>());
  }
  return "trial-" + records::BlobId::of(plain_numbers(entry).dump()).text().substr(0, 12);
}

// The entries of one file as documents of their own.
base::Status add_entries(const std::string& text, const std::string& file, const char* list,
                         Kind kind, std::vector<Wanted>& wanted) {
  if (text.empty()) return base::Done{};
  BIGHT_TRY(const exchange::Document document, exchange::parse_toml(text, file));
  std::set<std::string> taken;
  const auto entries = document.value.find(list);
  if (entries == document.value.end()) return base::Done{};
  if (!entries->is_array()) {
    return Failure{"folder.list", file, fmt::format("{} is not a list of tables", list),
                   fmt::format("write [[{}]] before each", list)};
  }
  for (const Json& entry : *entries) {
    if (!entry.is_object()) {
      return Failure{"folder.list", file, fmt::format("an entry of {} is not a table", list),
                     fmt::format("write [[{}]] before each", list)};
    }
    Json own = Json::object();
    for (const char* key : kFileKeys) {
      if (document.value.contains(key)) own[key] = document.value.at(key);
    }
    for (const auto& [key, value] : entry.items()) own[key] = value;
    std::string id = free_id(taken, id_of_entry(own, kind));
    wanted.push_back({kind, std::move(id), std::move(own)});
  }
  return base::Done{};
}

Result<std::vector<Wanted>> wanted_of(const FolderTexts& texts) {
  std::vector<Wanted> wanted;
  const auto in_folder = [&](const char* name) { return texts.name + "/" + name; };
  BIGHT_TRY(exchange::Document house,
            exchange::parse_toml(texts.shop.shop, in_folder("shop.toml")));
  wanted.push_back({Kind::kHouse, kHouse, std::move(house.value)});
  BIGHT_TRY(base::Done done, add_entries(texts.shop.benders, in_folder("benders.toml"), "bender",
                                         Kind::kBender, wanted));
  BIGHT_TRY(done, add_entries(texts.shop.die_sets, in_folder("die_sets.toml"), "die_set",
                              Kind::kDieSet, wanted));
  BIGHT_TRY(done, add_entries(texts.shop.materials, in_folder("materials.toml"), "material",
                              Kind::kMaterial, wanted));
  BIGHT_TRY(done, add_entries(texts.shop.trials, in_folder("trials.toml"), "trial", Kind::kTrial,
                              wanted));
  static_cast<void>(done);
  std::set<std::string> taken;
  for (const auto& [name, text] : texts.parts) {
    BIGHT_TRY(exchange::Document part, exchange::parse_toml(text, name));
    const std::string stem = std::filesystem::path(name).stem().string();
    wanted.push_back({Kind::kPart, free_id(taken, slug(stem)), std::move(part.value)});
  }
  return wanted;
}

base::Status take_one(records::Store& store, const Wanted& wanted, const std::string& who,
                      TakenFolder& taken) {
  BIGHT_TRY(const records::RecordId id, records::RecordId::parse(wanted.id));
  const Result<records::Record> present = store.get(wanted.kind, id);
  if (!present.ok() && present.failure().code != "record.none") return present.failure();
  std::int64_t revision = present.ok() ? present->head.revision : 0;
  if (present.ok() && present->head.withdrawn) {
    const records::Writing restored = store.restore({wanted.kind, id, revision, who, ""});
    if (!restored.result.ok()) return restored.result.failure();
    revision = restored.result->head.revision;
  }
  if (present.ok() && Json::parse(present->document, nullptr, false) == wanted.document) {
    ++taken.same;
    return base::Done{};
  }
  records::Put put;
  put.kind = wanted.kind;
  put.id = id;
  put.document = wanted.document.dump();
  put.expected_revision = revision;
  put.who = who;
  const records::Writing writing = store.put(put);
  if (!writing.result.ok()) return writing.result.failure();
  ++(revision == 0 ? taken.added : taken.continued);
  return base::Done{};
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
        {"materials.toml", &texts.shop.materials}}) {
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
  BIGHT_TRY(const std::vector<Wanted> wanted, wanted_of(texts));
  TakenFolder taken;
  for (const Wanted& one : wanted) {
    BIGHT_TRY(const base::Done done, take_one(store, one, who, taken));
    static_cast<void>(done);
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
  for (const auto& [kind, list, name] :
       {std::tuple<Kind, const char*, const char*>{Kind::kBender, "bender", "benders.toml"},
        {Kind::kDieSet, "die_set", "die_sets.toml"},
        {Kind::kTrial, "trial", "trials.toml"},
        {Kind::kMaterial, "material", "materials.toml"}}) {
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

#include "service/shop_entries.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <optional>

#include "exchange/exact_value.h"
#include "exchange/toml_text.h"
#include "service/folders.h"
#include "service/shop_view.h"

namespace bight::service {

using base::Failure;
using base::Result;
using records::Kind;
using Json = nlohmann::ordered_json;

namespace {

constexpr std::array kFileRules = {"schema", "units", "decimal_mark"};

bool is_rule(const std::string& key) {
  return std::find(kFileRules.begin(), kFileRules.end(), key) != kFileRules.end();
}

// 90.0 as 90: the same number, however it is written.
Json with_plain_numbers(const Json& value) {
  if (value.is_number_float()) return exchange::number_value(value.get<double>());
  if (!value.is_structured()) return value;
  Json out = value;
  for (auto& [key, member] : out.items()) member = with_plain_numbers(member);
  return out;
}

// Without what goes without saying: schema 1, millimetres, the decimal point.
Json without_usual_rules(Json document) {
  const std::pair<const char*, Json> usual[] = {
      {"schema", 1}, {"units", "mm"}, {"decimal_mark", "point"}};
  for (const auto& [key, value] : usual) {
    const auto found = document.find(key);
    if (found != document.end() && *found == value) document.erase(found);
  }
  return document;
}

std::string text_at(const Json& document, const char* key) {
  const auto found = document.find(key);
  return found != document.end() && found->is_string() ? found->get<std::string>() : "";
}

bool has_name(Kind kind) {
  return kind == Kind::kBender || kind == Kind::kDieSet || kind == Kind::kMaterial;
}

std::string usual_id(const Json& entry, Kind kind) {
  const std::string name = text_at(entry, "name");
  if (has_name(kind) && !name.empty()) return slug(name);
  return fmt::format("{}-{}", records::kind_name(kind),
                     records::BlobId::of(with_plain_numbers(entry).dump()).text().substr(0, 12));
}

// The lines of an entry that stands at this pointer, by its own keys.
void take_lines(const exchange::Document& document, const std::string& pointer, ShopEntry& entry) {
  const auto own = document.lines.find(pointer);
  entry.line = own == document.lines.end() ? 0 : own->second;
  for (const auto& [key, value] : entry.document.items()) {
    const auto line = document.lines.find(exchange::pointer_to(pointer, key));
    if (line != document.lines.end()) entry.lines[key] = line->second;
  }
}

std::string called(Kind kind, const Json& document) {
  if (kind == Kind::kTrial) {
    return fmt::format("{} {}", text_at(document, "die"), text_at(document, "material"));
  }
  if (kind == Kind::kTube) {
    return fmt::format("{} {}", text_at(document, "size"), text_at(document, "material"));
  }
  return text_at(document, "name");
}

ShopEntry whole_document(Kind kind, std::string id, const exchange::Document& document) {
  ShopEntry entry{kind, std::move(id), called(kind, document.value), document.value, 1, {}};
  take_lines(document, "", entry);
  entry.line = 1;
  return entry;
}

// What a document that is no list of entries is.
std::optional<Kind> kind_of_whole(const Json& document) {
  const auto is_table = [&](const char* key) {
    const auto found = document.find(key);
    return found != document.end() && found->is_object();
  };
  if (is_table("tube") && (is_table("line") || is_table("measured"))) return Kind::kPart;
  for (const auto& [key, value] : document.items()) {
    if (!is_rule(key) && key != "name" && key != "groove_slack") return std::nullopt;
  }
  return document.contains("name") ? std::optional(Kind::kHouse) : std::nullopt;
}

// Whether a record on the lists is the one that the entry speaks of.
bool same_thing(const ShopEntry& entry, const Json& present) {
  if (has_name(entry.kind)) return text_at(present, "name") == entry.name;
  if (entry.kind != Kind::kTube) {
    return with_plain_numbers(present) == with_plain_numbers(entry.document);
  }
  const auto alike = [&](const char* key) {
    return present.value(key, Json()) == entry.document.value(key, Json());
  };
  return alike("size") && alike("material") && alike("heat") && alike("length") && alike("place");
}

}  // namespace

const std::vector<EntryList>& entry_lists() {
  static const std::vector<EntryList> kLists = {{Kind::kBender, "bender", "benders.toml"},
                                                {Kind::kDieSet, "die_set", "die_sets.toml"},
                                                {Kind::kMaterial, "material", "materials.toml"},
                                                {Kind::kTube, "tube", "stock.toml"},
                                                {Kind::kTrial, "trial", "trials.toml"}};
  return kLists;
}

Result<std::vector<ShopEntry>> entries_of_list(const exchange::Document& document,
                                               const EntryList& list, TakenIds& taken) {
  std::vector<ShopEntry> out;
  const auto entries = document.value.find(list.list);
  if (entries == document.value.end()) return out;
  const std::string remedy = fmt::format("write [[{}]] before each", list.list);
  if (!entries->is_array()) {
    return Failure{"folder.list", document.name,
                   fmt::format("{} is not a list of tables", list.list), remedy};
  }
  for (const Json& value : *entries) {
    if (!value.is_object()) {
      return Failure{"folder.list", document.name,
                     fmt::format("an entry of {} is not a table", list.list), remedy};
    }
    Json own = Json::object();
    for (const char* key : kFileRules) {
      if (document.value.contains(key)) own[key] = document.value.at(key);
    }
    for (const auto& [key, member] : value.items()) own[key] = member;
    ShopEntry entry;
    entry.kind = list.kind;
    entry.id = free_id(taken[list.kind], usual_id(own, list.kind));
    entry.name = called(list.kind, own);
    entry.document = std::move(own);
    take_lines(document, exchange::pointer_to(exchange::pointer_to("", list.list), out.size()),
               entry);
    out.push_back(std::move(entry));
  }
  return out;
}

Result<std::vector<ShopEntry>> entries_of_file(const std::string& text, const std::string& file,
                                               TakenIds& taken) {
  BIGHT_TRY(const exchange::Document document, exchange::parse_toml(text, file));
  if (const std::optional<Kind> kind = kind_of_whole(document.value)) {
    const std::string stem = std::filesystem::path(file).stem().string();
    const std::string id =
        *kind == Kind::kHouse ? std::string(kHouse) : free_id(taken[*kind], slug(stem));
    return std::vector{whole_document(*kind, id, document)};
  }
  std::vector<ShopEntry> out;
  std::set<std::string> known(kFileRules.begin(), kFileRules.end());
  for (const EntryList& list : entry_lists()) {
    known.insert(list.list);
    BIGHT_TRY(std::vector<ShopEntry> entries, entries_of_list(document, list, taken));
    std::move(entries.begin(), entries.end(), std::back_inserter(out));
  }
  for (const auto& [key, value] : document.value.items()) {
    if (known.count(key) != 0) continue;
    const auto line = document.lines.find(exchange::pointer_to("", key));
    return Failure{
        "folder.entry",
        line == document.lines.end() ? file : fmt::format("{}:{}", file, line->second),
        fmt::format("{} is nothing that a shop's file begins with", key),
        "[[die_set]], [[bender]], [[material]], [[tube]] or [[trial]] before each entry"};
  }
  if (out.empty()) {
    return Failure{
        "folder.entry", file, "there is no entry in this file",
        "[[die_set]], [[bender]], [[material]], [[tube]] or [[trial]] before each entry"};
  }
  return out;
}

base::Status find_records(records::Store& store, std::vector<ShopEntry>& entries) {
  std::map<Kind, std::vector<std::pair<std::string, Json>>> present;
  for (ShopEntry& entry : entries) {
    if (entry.kind == Kind::kHouse || entry.kind == Kind::kPart) continue;
    if (present.count(entry.kind) == 0) {
      BIGHT_TRY(const std::vector<records::Record> list, records_in_order(store, entry.kind));
      auto& documents = present[entry.kind];
      for (const records::Record& record : list) {
        documents.emplace_back(record.head.id.text(), Json::parse(record.document, nullptr, false));
      }
    }
    for (const auto& [id, document] : present.at(entry.kind)) {
      if (!same_thing(entry, document)) continue;
      entry.id = id;
      break;
    }
  }
  return base::Done{};
}

Result<Fate> fate_of(records::Store& store, const ShopEntry& entry) {
  BIGHT_TRY(const records::RecordId id, records::RecordId::parse(entry.id));
  const Result<records::Record> present = store.get(entry.kind, id);
  if (!present.ok() && present.failure().code != "record.none") return present.failure();
  Fate fate;
  if (!present.ok()) return fate;
  fate.revision = present->head.revision;
  const Json there = without_usual_rules(Json::parse(present->document, nullptr, false));
  const Json brought = without_usual_rules(entry.document);
  for (const auto& [key, value] : brought.items()) {
    if (there.value(key, Json()) != value) fate.keys.push_back(key);
  }
  for (const auto& [key, value] : there.items()) {
    if (!brought.contains(key)) fate.keys.push_back(key);
  }
  fate.deed = present->head.withdrawn ? Deed::kRestore
              : fate.keys.empty()     ? Deed::kSame
                                      : Deed::kChange;
  return fate;
}

Result<Fate> take_entry(records::Store& store, const ShopEntry& entry, const std::string& who) {
  BIGHT_TRY(const records::RecordId id, records::RecordId::parse(entry.id));
  BIGHT_TRY(const Fate fate, fate_of(store, entry));
  if (fate.deed == Deed::kSame) return fate;
  std::int64_t revision = fate.revision;
  if (fate.deed == Deed::kRestore) {
    const records::Writing restored = store.restore({entry.kind, id, revision, who, ""});
    if (!restored.result.ok()) return restored.result.failure();
    revision = restored.result->head.revision;
  }
  if (fate.deed == Deed::kRestore && fate.keys.empty()) return fate;
  records::Put put;
  put.kind = entry.kind;
  put.id = id;
  put.document = entry.document.dump();
  put.expected_revision = revision;
  put.who = who;
  const records::Writing writing = store.put(put);
  if (!writing.result.ok()) return writing.result.failure();
  return fate;
}

Result<std::string> entry_text(Kind kind, const Json& document) {
  if (kind == Kind::kHouse || kind == Kind::kPart) return exchange::toml_text(document);
  for (const EntryList& list : entry_lists()) {
    if (list.kind != kind) continue;
    Json file = Json::object();
    Json entry = document;
    file["schema"] = 1;
    for (const char* key : kFileRules) {
      if (document.contains(key)) file[key] = document.at(key);
      entry.erase(key);
    }
    file[list.list] = Json::array({std::move(entry)});
    return exchange::toml_text(file);
  }
  return Failure{"folder.kind", "",
                 fmt::format("no text file is written of a {}", records::kind_name(kind)),
                 "the whole shop's archive holds it"};
}

}  // namespace bight::service

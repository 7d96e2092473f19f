// Text files of the shop, several at once, looked at and taken in; and one record as such a file.
#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "exchange/shop_toml.h"
#include "service/folders.h"
#include "service/handlers.h"
#include "service/shop_entries.h"

namespace bight::service {

using base::Failure;
using base::Result;
using Json = nlohmann::ordered_json;

namespace {

constexpr std::size_t kMostFiles = 500;

struct BroughtFile {
  std::string name;
  std::string text;
  std::vector<ShopEntry> entries;
  Json errors = Json::array();
};

struct FilesWish {
  std::vector<BroughtFile> files;
  std::size_t taking = 0;  // look, all, rest
};

Result<FilesWish> files_wish_of(const Request& request) {
  BIGHT_TRY(const exchange::Document body, read_body(request));
  exchange::Fields f(body);
  FilesWish wish;
  wish.taking = f.choice("taking", {"look", "all", "rest"}).value_or(0);
  if (!f.has("files")) f.complain("files", "key.missing", "the files are missing", "");
  if (f.count("files") > kMostFiles) {
    f.complain("files", "key.value", fmt::format("at most {} files at a time", kMostFiles), "");
  }
  for (exchange::Fields& one : f.tables("files")) {
    BroughtFile file;
    file.name = one.need_text("name");
    file.text = one.need_text("text");
    one.no_others();
    f.adopt(one);
    wish.files.push_back(std::move(file));
  }
  f.no_others();
  BIGHT_TRY(const base::Done done, f.status());
  static_cast<void>(done);
  return wish;
}

// A complaint with the entry it is about and the line of its key.
Json error_json(const Failure& failure, const ShopEntry* entry) {
  Json json = complaint_json(failure);
  json["entry"] = entry == nullptr ? "" : entry->name;
  json["line"] = nullptr;
  if (entry == nullptr) return json;
  const std::string key = failure.where.substr(0, failure.where.find_first_of(".["));
  const auto line = entry->lines.find(key);
  if (line != entry->lines.end()) json["line"] = line->second;
  if (line == entry->lines.end() && entry->line > 0) json["line"] = entry->line;
  return json;
}

void read_entries(BroughtFile& file, TakenIds& taken) {
  Result<std::vector<ShopEntry>> entries = entries_of_file(file.text, file.name, taken);
  if (entries.ok()) {
    file.entries = std::move(entries).value();
  } else {
    file.errors.push_back(error_json(entries.failure(), nullptr));
  }
}

// The metals there would be: those of the shop, with the files' in the place of the same ones.
exchange::KnownMetals metals_beside(const ShopView& view, const std::vector<BroughtFile>& files) {
  std::vector<stock::OwnMetal> own = view.shop.materials;
  for (const BroughtFile& file : files) {
    for (const ShopEntry& entry : file.entries) {
      if (entry.kind != records::Kind::kMaterial) continue;
      const auto read = exchange::read_material(exchange::document_of(entry.document, ""));
      if (!read.ok()) continue;
      const auto same = std::find_if(own.begin(), own.end(),
                                     [&](const auto& one) { return one.name == read->name; });
      if (same == own.end()) {
        own.push_back(*read);
      } else {
        *same = *read;
      }
    }
  }
  const Result<exchange::KnownMetals> metals = exchange::metals_with(own);
  return metals.ok() ? *metals : view.metals;
}

void check_entries(const ShopView& view, std::vector<BroughtFile>& files) {
  const exchange::KnownMetals metals = metals_beside(view, files);
  std::set<std::pair<records::Kind, std::string>> seen;
  for (BroughtFile& file : files) {
    for (const ShopEntry& entry : file.entries) {
      for (const Failure& failure : complaints_of(entry.kind, entry.document, metals)) {
        file.errors.push_back(error_json(failure, &entry));
      }
      const bool named = entry.kind != records::Kind::kTrial &&
                         entry.kind != records::Kind::kTube && entry.kind != records::Kind::kPart;
      if (seen.insert({entry.kind, named ? entry.name : entry.id}).second) continue;
      const Failure twice{"shop.name-twice", "name",
                          fmt::format("\"{}\" stands twice among these files", entry.name),
                          "leave one of them out"};
      file.errors.push_back(error_json(twice, &entry));
    }
  }
}

const char* deed_word(Deed deed) {
  switch (deed) {
    case Deed::kAdd:
      return "add";
    case Deed::kChange:
      return "change";
    case Deed::kRestore:
      return "restore";
    case Deed::kSame:
      break;
  }
  return "same";
}

Result<Json> file_json(Context& context, const BroughtFile& file, bool write,
                       const std::string& who) {
  Json entries = Json::array();
  for (const ShopEntry& entry : file.entries) {
    BIGHT_TRY(const Fate fate,
              write ? take_entry(context.store, entry, who) : fate_of(context.store, entry));
    entries.push_back({{"kind", records::kind_name(entry.kind)},
                       {"id", entry.id},
                       {"name", entry.name},
                       {"deed", deed_word(fate.deed)},
                       {"keys", fate.keys}});
  }
  return Json{{"name", file.name}, {"errors", file.errors}, {"entries", entries}};
}

Result<Reply> shop_files(Context& context, const Request& request) {
  BIGHT_TRY(FilesWish wish, files_wish_of(request));
  BIGHT_TRY(const std::shared_ptr<const ShopView> view, context.shop.view());
  TakenIds taken;
  for (BroughtFile& file : wish.files) {
    read_entries(file, taken);
    BIGHT_TRY(const base::Done found, find_records(context.store, file.entries));
    static_cast<void>(found);
  }
  check_entries(*view, wish.files);
  const bool faultless = std::all_of(wish.files.begin(), wish.files.end(),
                                     [](const BroughtFile& file) { return file.errors.empty(); });
  const bool writes = wish.taking == 2 || (wish.taking == 1 && faultless);
  const std::string who = decoded(request.header("x-bight-by"));
  Json files = Json::array();
  for (const BroughtFile& file : wish.files) {
    BIGHT_TRY(Json json, file_json(context, file, writes && file.errors.empty(), who));
    files.push_back(std::move(json));
  }
  return json_reply({{"files", files}, {"written", writes}});
}

Result<Reply> record_file(Context& context, const Request& request) {
  BIGHT_TRY(const base::Done done, only_asked(request, {}));
  static_cast<void>(done);
  BIGHT_TRY(const records::Kind kind, records::kind_named(request.holes[0]));
  BIGHT_TRY(const records::RecordId id, records::RecordId::parse(request.holes[1]));
  BIGHT_TRY(const records::Record record, context.store.get(kind, id));
  const Json document = Json::parse(record.document, nullptr, false);
  BIGHT_TRY(const std::string text, entry_text(kind, document));
  const auto name = document.find("name");
  const std::string stem =
      name != document.end() && name->is_string() ? slug(name->get<std::string>()) : id.text();
  Reply reply = bytes_reply(text, "application/toml");
  reply.headers.emplace_back("Content-Disposition",
                             fmt::format("attachment; filename=\"{}.toml\"", stem));
  return reply;
}

}  // namespace

void add_shop_files(Router& router, Context& context) {
  router.add({"POST", "/shop/files", with(context, shop_files)});
  router.add({"GET", "/records/{kind}/{id}/file", with(context, record_file)});
}

}  // namespace bight::service

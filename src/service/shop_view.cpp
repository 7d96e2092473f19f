#include "service/shop_view.h"

#include <fmt/chrono.h>
#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <set>

#include "exchange/complaints.h"
#include "exchange/shop_toml.h"

namespace bight::service {

using base::Failure;
using base::Result;
using records::Kind;
using Json = nlohmann::ordered_json;

namespace {

constexpr std::int64_t kMost = 100'000;

exchange::Document parsed(const std::string& text) {
  return exchange::document_of(Json::parse(text, nullptr, false), "");
}

Result<workshop::Shop> read_house(const exchange::Document& document) {
  return exchange::read_shop(exchange::ShopDocuments{document, {}, {}, {}});
}

template <typename Item>
base::Status read_kind(records::Store& store, Kind kind,
                       Result<Item> (*read)(const exchange::Document&), ShopView& view,
                       std::vector<Item>& items, std::vector<std::string>& ids) {
  BIGHT_TRY(const std::vector<records::Record> list, records_in_order(store, kind));
  for (const records::Record& record : list) {
    exchange::Document document = parsed(record.document);
    document.metals = view.metals;
    Result<Item> item = read(document);
    if (!item.ok()) {
      view.bad.push_back({kind, record.head.id.text(), exchange::complaints_about(document, read)});
      continue;
    }
    items.push_back(std::move(item).value());
    ids.push_back(record.head.id.text());
  }
  return base::Done{};
}

// Sets aside what bears a name that stands before it.
template <typename Item>
void set_aside_twins(Kind kind, ShopView& view, std::vector<Item>& items,
                     std::vector<std::string>& ids) {
  std::set<std::string> seen;
  for (std::size_t i = 0; i < items.size();) {
    if (seen.insert(items[i].name).second) {
      ++i;
      continue;
    }
    view.bad.push_back(
        {kind,
         ids[i],
         {{"shop.name-twice", "name", fmt::format("the name \"{}\" stands twice", items[i].name),
           "give each its own name"}}});
    const auto at = static_cast<std::ptrdiff_t>(i);
    items.erase(items.begin() + at);
    ids.erase(ids.begin() + at);
  }
}

// The metals that can be worked with, those whose names are another's set aside.
base::Status take_materials(records::Store& store, ShopView& view) {
  std::vector<stock::OwnMetal> read;
  std::vector<std::string> ids;
  BIGHT_TRY(const base::Done done,
            read_kind(store, Kind::kMaterial, exchange::read_material, view, read, ids));
  static_cast<void>(done);
  BIGHT_TRY(view.metals, exchange::metals_with({}));
  for (std::size_t i = 0; i < read.size(); ++i) {
    view.shop.materials.push_back(read[i]);
    Result<exchange::KnownMetals> metals = exchange::metals_with(view.shop.materials);
    if (metals.ok()) {
      view.metals = std::move(metals).value();
      view.material_ids.push_back(ids[i]);
      continue;
    }
    base::Failure failure = metals.failure();
    failure.where = "name";
    view.bad.push_back({Kind::kMaterial, ids[i], {failure}});
    view.shop.materials.pop_back();
  }
  return base::Done{};
}

bool of_the_shop(Kind kind) {
  return kind == Kind::kMaterial || kind == Kind::kBender || kind == Kind::kDieSet ||
         kind == Kind::kTrial || kind == Kind::kTube || kind == Kind::kHouse;
}

}  // namespace

Result<std::vector<records::Record>> records_in_order(records::Store& store, Kind kind) {
  records::ListQuery query;
  query.kind = kind;
  query.limit = kMost;
  BIGHT_TRY(records::RecordList list, store.list(query));
  records::HistoryQuery past;
  past.kind = kind;
  past.limit = kMost;
  BIGHT_TRY(const std::vector<records::Revision> history, store.history(past));
  std::map<std::string, std::int64_t> entered;
  for (const records::Revision& head : history) {
    if (head.revision == 1) entered[head.id.text()] = head.change;
  }
  std::stable_sort(list.records.begin(), list.records.end(),
                   [&](const records::Record& a, const records::Record& b) {
                     return entered[a.head.id.text()] < entered[b.head.id.text()];
                   });
  return std::move(list.records);
}

Result<ShopView> read_shop_view(records::Store& store) {
  ShopView view;
  BIGHT_TRY(view.change, store.latest_change());
  BIGHT_TRY(const records::RecordId house_id, records::RecordId::parse(kHouse));
  const Result<records::Record> house = store.get(Kind::kHouse, house_id);
  if (house.ok() && !house->head.withdrawn) {
    const exchange::Document document = parsed(house->document);
    Result<workshop::Shop> shop = read_house(document);
    if (shop.ok()) {
      view.shop = std::move(shop).value();
    } else {
      view.bad.push_back({Kind::kHouse, kHouse, exchange::complaints_about(document, read_house)});
    }
  } else if (!house.ok() && house.failure().code != "record.none") {
    return house.failure();
  }
  BIGHT_TRY(base::Done done, take_materials(store, view));
  BIGHT_TRY(done, read_kind(store, Kind::kBender, exchange::read_bender, view, view.shop.benders,
                            view.bender_ids));
  BIGHT_TRY(done, read_kind(store, Kind::kDieSet, exchange::read_die_set, view, view.shop.die_sets,
                            view.die_set_ids));
  BIGHT_TRY(done, read_kind(store, Kind::kTrial, exchange::read_trial, view, view.shop.trials,
                            view.trial_ids));
  BIGHT_TRY(done, read_kind(store, Kind::kTube, exchange::read_stock_tube, view, view.shop.stock,
                            view.stock_ids));
  static_cast<void>(done);
  set_aside_twins(Kind::kBender, view, view.shop.benders, view.bender_ids);
  set_aside_twins(Kind::kDieSet, view, view.shop.die_sets, view.die_set_ids);
  return view;
}

Result<std::shared_ptr<const ShopView>> ShopCache::view() {
  const std::lock_guard lock(mutex_);
  BIGHT_TRY(const std::int64_t latest, store_.latest_change());
  if (view_ != nullptr && latest == seen_) return view_;
  if (view_ != nullptr) {
    BIGHT_TRY(const std::vector<records::Revision> changes, store_.changes_since(seen_, kMost));
    const bool same = std::none_of(changes.begin(), changes.end(),
                                   [](const auto& change) { return of_the_shop(change.kind); });
    if (same && !changes.empty()) {
      seen_ = changes.back().change;
      return view_;
    }
  }
  BIGHT_TRY(ShopView view, read_shop_view(store_));
  seen_ = view.change;
  view_ = std::make_shared<const ShopView>(std::move(view));
  return view_;
}

std::vector<Failure> complaints_of(Kind kind, const Json& value, exchange::KnownMetals metals) {
  const exchange::Document document = exchange::document_of(value, "", std::move(metals));
  switch (kind) {
    case Kind::kPart:
      return exchange::complaints_about<exchange::PartFile>(document, exchange::read_part);
    case Kind::kBender:
      return exchange::complaints_about(document, exchange::read_bender);
    case Kind::kDieSet:
      return exchange::complaints_about(document, exchange::read_die_set);
    case Kind::kTrial:
      return exchange::complaints_about(document, exchange::read_trial);
    case Kind::kMaterial:
      return exchange::complaints_about(document, exchange::read_material);
    case Kind::kTube:
      return exchange::complaints_about(document, exchange::read_stock_tube);
    case Kind::kHouse:
      return exchange::complaints_about(document, read_house);
    default:
      return {};
  }
}

Result<Json> part_document_of(exchange::Fields& fields, const exchange::Document& body,
                              records::Store& store) {
  const bool given = fields.has("part");
  const std::optional<std::string> id_text = fields.text("part_id");
  if (given == id_text.has_value()) {
    return Failure{"request.part", "part", "exactly one of part and part_id is needed",
                   "send the part document, or the id of a record"};
  }
  if (given) {
    const Json& part = body.value.at("part");
    if (!part.is_object()) {
      return Failure{"request.part", "part", "the part is not an object", "send a part document"};
    }
    return part;
  }
  BIGHT_TRY(const records::RecordId id, records::RecordId::parse(*id_text));
  BIGHT_TRY(const records::Record record, store.get(Kind::kPart, id));
  return Json::parse(record.document, nullptr, false);
}

std::string time_text(records::Instant at) {
  const auto ms = at.time_since_epoch().count();
  const auto second = std::chrono::floor<std::chrono::seconds>(at);
  return fmt::format("{:%Y-%m-%dT%H:%M:%S}.{:03}Z",
                     fmt::gmtime(std::chrono::system_clock::to_time_t(second)),
                     ((ms % 1000) + 1000) % 1000);
}

Json revision_json(const records::Revision& head) {
  Json json = {{"kind", records::kind_name(head.kind)},
               {"id", head.id.text()},
               {"revision", head.revision},
               {"change", head.change},
               {"deed", records::deed_name(head.deed)},
               {"content_of", head.content_of},
               {"at", time_text(head.at)},
               {"by", head.by},
               {"withdrawn", head.withdrawn}};
  if (head.part) json["part"] = head.part->text();
  if (head.blob) json["blob"] = head.blob->text();
  return json;
}

Json record_json(const records::Record& record) {
  Json json = revision_json(record.head);
  json["document"] = Json::parse(record.document, nullptr, false);
  return json;
}

}  // namespace bight::service

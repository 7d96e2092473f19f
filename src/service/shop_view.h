// The shop as the records hold it, ready for planning, and parts by document or id.
#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <mutex>
#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"
#include "exchange/fields.h"
#include "exchange/part_toml.h"
#include "records/store.h"
#include "workshop/shop.h"

namespace bight::service {

// A document of the shop that cannot be read; plans leave it out.
struct BadDocument {
  records::Kind kind = records::Kind::kBender;
  std::string id;
  std::vector<base::Failure> complaints;
};

struct ShopView {
  workshop::Shop shop;                    // in the order in which things were first entered
  std::vector<std::string> bender_ids;    // beside shop.benders
  std::vector<std::string> die_set_ids;   // beside shop.die_sets
  std::vector<std::string> material_ids;  // beside shop.materials
  std::vector<std::string> trial_ids;     // beside shop.trials
  std::vector<std::string> stock_ids;     // beside shop.stock
  exchange::KnownMetals metals;           // the catalogue's and these
  std::vector<BadDocument> bad;
  std::int64_t change = 0;  // as of this change of the shop
};

// The id under which the shop's own document (shop.toml) is kept.
inline constexpr const char* kHouse = "house";

// Reads all there is to read; a name that stands twice counts as bad the second time.
// Failure codes: those of the store.
base::Result<ShopView> read_shop_view(records::Store& store);

// All records of a kind on the lists, in the order in which they were first entered.
// Failure codes: those of the store.
base::Result<std::vector<records::Record>> records_in_order(records::Store& store,
                                                            records::Kind kind);

// Keeps the view until something of the shop changes, by whatever process.
class ShopCache {
 public:
  explicit ShopCache(records::Store& store) : store_(store) {}
  base::Result<std::shared_ptr<const ShopView>> view();

 private:
  records::Store& store_;
  std::mutex mutex_;
  std::shared_ptr<const ShopView> view_;
  std::int64_t seen_ = -1;
};

// Everything wrong with a document of this kind; none where nothing is known of the kind.
std::vector<base::Failure> complaints_of(records::Kind kind, const nlohmann::ordered_json& value,
                                         exchange::KnownMetals metals);

// The document that a request names by "part" (an object) or "part_id", exactly one of them.
// Failure codes: request.part, and those of the store.
base::Result<nlohmann::ordered_json> part_document_of(exchange::Fields& fields,
                                                      const exchange::Document& body,
                                                      records::Store& store);

// A record's head and document as the answers give them.
nlohmann::ordered_json revision_json(const records::Revision& head);
nlohmann::ordered_json record_json(const records::Record& record);
// "2026-03-01T09:00:00.123Z".
std::string time_text(records::Instant at);

}  // namespace bight::service

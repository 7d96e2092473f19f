#include "records/open.h"

#include "records/store_test_util.h"

namespace bight::records {
namespace {

class OpenTest : public test::StoreTest {};
BIGHT_BOTH_STORES(OpenTest);

// What was stored is there after closing and opening; the description names the place.
TEST_P(OpenTest, ReopenedShopIsTheSame) {
  put_part("rail");
  const Inventory before = *store_->inventory();
  store_.reset();
  store_ = open(place_);
  EXPECT_EQ(*store_->inventory(), before);
  EXPECT_TRUE(store_->description().starts_with(GetParam() == Dialect::kSqlite ? "SQLite, /"
                                                                               : "PostgreSQL, "));
}

// Random bits and clock come from outside where they are given, so that a run can be repeated.
TEST_P(OpenTest, NothingIsLeftToChance) {
  StoreOptions given = options();
  std::uint64_t bits = 0;
  given.random_bits = [&bits] { return bits++; };
  for (int run = 0; run < 2; ++run) {
    bits = 3;
    const auto store = std::move(open_store(fresh_place(), given)).value();
    const Record one = *store->put({.kind = Kind::kRun, .document = "{}"}).result;
    EXPECT_EQ(one.head.id, RecordId::fresh(clock_.now(), 3));
    // Bits that give an id already taken are passed over.
    bits = 3;
    EXPECT_EQ(store->put({.kind = Kind::kRun, .document = "{}"}).result->head.id,
              RecordId::fresh(clock_.now(), 4));
  }
}

}  // namespace
}  // namespace bight::records

#include <gmock/gmock.h>

#include <thread>

#include "records/store_test_util.h"

namespace bight::records {
namespace {

using test::document;
using test::id;

class ReadTest : public test::StoreTest {};
BIGHT_BOTH_STORES(ReadTest);

std::vector<std::string> ids(const std::vector<Record>& records) {
  std::vector<std::string> out;
  for (const Record& record : records) out.push_back(record.head.id.text());
  return out;
}

// An empty shop answers everything, with nothing.
TEST_P(ReadTest, EmptyShop) {
  EXPECT_EQ(*store_->latest_change(), 0);
  EXPECT_TRUE(store_->changes_since(0)->empty());
  EXPECT_TRUE(store_->history({})->empty());
  EXPECT_EQ(store_->list({})->total, 0);
  EXPECT_EQ(store_->get(Kind::kPart, id("a")).failure().code, "record.none");
  EXPECT_EQ(store_->inventory()->records, 0);
  EXPECT_EQ(store_->inventory()->fingerprint, BlobId::of("").text());
}

// Lists hold the present documents, newest change first, in pages that tile the whole.
TEST_P(ReadTest, ListsArePagedNewestFirst) {
  for (const char* name : {"a", "b", "c", "d"}) {
    put({.kind = Kind::kBender, .id = id(name), .document = document(name)});
  }
  put({.kind = Kind::kDieSet, .id = id("x"), .document = "{}"});
  put({.kind = Kind::kBender, .id = id("b"), .document = document("b2"), .expected_revision = 1});
  store_->withdraw({.kind = Kind::kBender, .id = id("c"), .expected_revision = 1});
  const RecordList all = *store_->list({.kind = Kind::kBender});
  EXPECT_EQ(ids(all.records), (std::vector<std::string>{"b", "d", "a"}));
  EXPECT_EQ(all.total, 3);
  EXPECT_EQ(all.records.front().document, document("b2"));
  const RecordList page =
      *store_->list({.kind = Kind::kBender, .with_withdrawn = true, .limit = 2, .from = 1});
  EXPECT_EQ(ids(page.records), (std::vector<std::string>{"b", "d"}));
  EXPECT_EQ(page.total, 4);
  EXPECT_EQ(store_->list({.limit = -1}).failure().code, "record.limit");
  EXPECT_EQ(store_->list({.limit = 100'001}).failure().code, "record.limit");
  EXPECT_EQ(store_->list({.from = -1}).failure().code, "record.limit");
}

// What belongs to one part is listed and traced together.
TEST_P(ReadTest, ByPart) {
  put_part("rail");
  put_part("gate");
  put({.kind = Kind::kRun, .id = id("r1"), .document = "{}", .part = id("rail")});
  put({.kind = Kind::kRun, .id = id("r2"), .document = "{}", .part = id("gate")});
  EXPECT_EQ(ids(store_->list({.kind = Kind::kRun, .part = id("rail")})->records),
            std::vector<std::string>{"r1"});
  const auto history = *store_->history({.part = id("rail")});
  ASSERT_EQ(history.size(), 2u);
  EXPECT_EQ(history[0].id, id("r1"));
  EXPECT_EQ(history[1].id, id("rail"));
}

// History tells who did what and when, newest first, and goes on where it stopped.
TEST_P(ReadTest, History) {
  const Record first = put_part("rail");
  clock_.pass(60'000);
  const Record second = *store_->withdraw(act_on(first)).result;
  put_part("gate");
  const auto one = *store_->history({.kind = Kind::kPart, .id = id("rail")});
  ASSERT_EQ(one.size(), 2u);
  EXPECT_EQ(one[0], second.head);
  EXPECT_EQ(one[0].deed, Deed::kWithdraw);
  EXPECT_EQ(one[0].by, "MT");
  EXPECT_EQ(one[1], first.head);
  const auto latest = *store_->history({.limit = 1});
  EXPECT_EQ(latest.front().id, id("gate"));
  const auto earlier = *store_->history({.limit = 5, .before = latest.front().change});
  EXPECT_EQ(earlier.size(), 2u);
}

// Whoever saw n learns of every later change once and in order, also of those of another
// connection, while several threads write.
TEST_P(ReadTest, FeedMissesNothing) {
  const auto other = open(place_);
  constexpr int kEach = 25;
  std::atomic<int> finished{0};
  std::vector<std::thread> writers;
  for (Store* store : {store_.get(), store_.get(), other.get()}) {
    writers.emplace_back([store, &finished] {
      for (int i = 0; i < kEach; ++i) {
        const Writing writing = store->put({.kind = Kind::kMeasurement, .document = "{}"});
        EXPECT_TRUE(writing.result.ok()) << writing.result.failure().text();
      }
      ++finished;
    });
  }
  std::vector<std::int64_t> seen;
  for (bool last = false;;) {
    const auto changes = *store_->changes_since(seen.empty() ? 0 : seen.back(), 7);
    for (const Revision& change : changes) seen.push_back(change.change);
    if (changes.empty() && last) break;
    last = finished == 3;
  }
  for (std::thread& writer : writers) writer.join();
  ASSERT_EQ(seen.size(), 3u * kEach);
  for (std::size_t i = 0; i < seen.size(); ++i)
    EXPECT_EQ(seen[i], static_cast<std::int64_t>(i + 1));
}

// Bundles come in the order of each record's latest change, whole, more than one fetch of them.
TEST_P(ReadTest, BundlesAreWhole) {
  constexpr int kMany = 450;
  std::vector<std::string> names;
  for (int i = 0; i < kMany; ++i) names.push_back(fmt::format("l{}", i));
  put_many(Kind::kLesson, names);
  for (const char* again : {"l3", "l400", "l3"}) {
    const auto now = store_->get(Kind::kLesson, id(again))->head.revision;
    put({.kind = Kind::kLesson, .id = id(again), .document = "{}", .expected_revision = now});
  }
  std::vector<std::string> order;
  std::int64_t last_change = 0;
  const base::Status done = store_->each_bundle({}, [&](const Bundle& bundle) -> base::Status {
    for (std::size_t i = 0; i < bundle.revisions.size(); ++i) {
      EXPECT_EQ(bundle.revisions[i].head.revision, static_cast<std::int64_t>(i + 1));
      EXPECT_EQ(bundle.revisions[i].head.id, bundle.revisions.front().head.id);
    }
    EXPECT_GT(bundle.revisions.back().head.change, last_change);
    last_change = bundle.revisions.back().head.change;
    order.push_back(bundle.revisions.front().head.id.text());
    return base::Done{};
  });
  ASSERT_TRUE(done.ok()) << done.failure().text();
  EXPECT_EQ(order.size(), static_cast<std::size_t>(kMany));
  EXPECT_EQ(order[kMany - 1], "l3");
  EXPECT_EQ(order[kMany - 2], "l400");
  // A visitor's failure ends the walk and is given back.
  const base::Status stopped = store_->each_bundle({}, [](const Bundle&) -> base::Status {
    return base::Failure{"record.limit", "", "enough", ""};
  });
  EXPECT_EQ(stopped.failure().message, "enough");
  EXPECT_EQ(store_
                ->each_bundle({.part = id("l3")},
                              [](const Bundle&) -> base::Status { return base::Done{}; })
                .failure()
                .code,
            "record.none");
}

// The inventory of an earlier moment stays what it was, however much comes after.
TEST_P(ReadTest, InventoryOfThePast) {
  put_part("rail");
  const BlobId blob = *store_->keep_blob("bytes");
  put({.kind = Kind::kAttachment, .document = "{}", .part = id("rail"), .blob = blob});
  const Inventory then = *store_->inventory();
  EXPECT_EQ(then.records, 2);
  EXPECT_EQ(then.revisions, 2);
  EXPECT_EQ(then.blobs, 1);
  EXPECT_EQ(then.change, 2);
  put_part("gate");
  store_->withdraw({.kind = Kind::kPart, .id = id("rail"), .expected_revision = 1});
  EXPECT_EQ(*store_->inventory(2), then);
  EXPECT_NE(store_->inventory()->fingerprint, then.fingerprint);
}

}  // namespace
}  // namespace bight::records

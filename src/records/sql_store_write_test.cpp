#include <gmock/gmock.h>

#include <thread>

#include "records/store_test_util.h"

namespace bight::records {
namespace {

using test::document;
using test::id;

class WriteTest : public test::StoreTest {};
BIGHT_BOTH_STORES(WriteTest);

// What is put comes back byte for byte, with who and when, and a further put leaves the first.
TEST_P(WriteTest, RevisionsAreKept) {
  const std::string first = "{ \"name\" : \"rail\", \"od\": 1.50, \"note\": \"½ \\u0000\" }";
  const Record one = put({.kind = Kind::kBender, .id = id("b"), .document = first, .who = "KB"});
  EXPECT_EQ(one.head.revision, 1);
  EXPECT_EQ(one.head.change, 1);
  EXPECT_EQ(one.head.deed, Deed::kPut);
  EXPECT_EQ(one.head.at, clock_.now());
  clock_.pass(1500);
  const Record two = put({.kind = Kind::kBender,
                          .id = id("b"),
                          .document = document("x"),
                          .expected_revision = 1,
                          .who = "Jürg"});
  EXPECT_EQ(two.head.revision, 2);
  EXPECT_EQ(two.head.at - one.head.at, std::chrono::milliseconds(1500));
  EXPECT_EQ(*store_->get(Kind::kBender, id("b")), two);
  EXPECT_EQ(*store_->get_revision(Kind::kBender, id("b"), 1), one);
  EXPECT_EQ(store_->get_revision(Kind::kBender, id("b"), 1)->document, first);
  EXPECT_EQ(store_->get_revision(Kind::kBender, id("b"), 3).failure().code, "record.none");
}

// Without an id a fresh one is given; the same id may serve two kinds.
TEST_P(WriteTest, IdsAreFreshAndPerKind) {
  const Record one = put({.kind = Kind::kRun, .document = "{}"});
  const Record two = put({.kind = Kind::kRun, .document = "{}"});
  EXPECT_NE(one.head.id, two.head.id);
  EXPECT_EQ(one.head.id.text().size(), 16u);
  put({.kind = Kind::kLesson, .id = one.head.id, .document = "{\"a\":1}"});
  EXPECT_EQ(store_->get(Kind::kRun, one.head.id)->document, "{}");
}

// A write made from an old revision is refused and brings the present one; nothing is lost.
TEST_P(WriteTest, StaleWritesConflict) {
  put_part("rail");
  const Record second = put(
      {.kind = Kind::kPart, .id = id("rail"), .document = document("b"), .expected_revision = 1});
  for (const std::int64_t stale : {0, 1, 3}) {
    const Writing writing = store_->put({.kind = Kind::kPart,
                                         .id = id("rail"),
                                         .document = document("c"),
                                         .expected_revision = stale});
    ASSERT_FALSE(writing.result.ok());
    EXPECT_EQ(writing.result.failure().code, "record.conflict");
    ASSERT_TRUE(writing.present.has_value());
    EXPECT_EQ(*writing.present, second);
  }
  const Writing unknown =
      store_->put({.kind = Kind::kPart, .id = id("new"), .document = "{}", .expected_revision = 1});
  EXPECT_EQ(unknown.result.failure().code, "record.none");
  EXPECT_EQ(*store_->latest_change(), 2);
}

// Of many who write from the same revision at once exactly one wins each round.
TEST_P(WriteTest, ManyWritersNeverOverwrite) {
  put_part("rail");
  constexpr int kThreads = 6;
  constexpr int kRounds = 8;
  std::atomic<int> won{0};
  std::atomic<int> lost{0};
  std::vector<std::thread> threads;
  for (int t = 0; t < kThreads; ++t) {
    threads.emplace_back([&] {
      for (int round = 1; round <= kRounds; ++round) {
        for (;;) {
          const Writing writing = store_->put({.kind = Kind::kPart,
                                               .id = id("rail"),
                                               .document = document("x"),
                                               .expected_revision = round});
          if (writing.result.ok()) ++won;
          if (!writing.result.ok() && writing.result.failure().code != "record.conflict") {
            ADD_FAILURE() << writing.result.failure().text();
          }
          if (!writing.result.ok() && writing.present && writing.present->head.revision <= round) {
            continue;  // this round is not open yet
          }
          if (!writing.result.ok()) ++lost;
          break;
        }
      }
    });
  }
  for (std::thread& thread : threads) thread.join();
  EXPECT_EQ(won, kRounds);
  EXPECT_EQ(lost, kRounds * (kThreads - 1));
  EXPECT_EQ(store_->get(Kind::kPart, id("rail"))->head.revision, kRounds + 1);
  EXPECT_EQ(*store_->latest_change(), kRounds + 1);
}

// Undo goes one step further back each time, to the first; a new put starts afresh.
TEST_P(WriteTest, UndoWalksBackwards) {
  Record record = put_part("a");
  for (const char* name : {"b", "c"}) {
    record = put({.kind = Kind::kPart,
                  .id = id("a"),
                  .document = document(name),
                  .expected_revision = record.head.revision});
  }
  for (const char* expected : {"b", "a"}) {
    const Writing undone = store_->undo(act_on(record), std::nullopt);
    ASSERT_TRUE(undone.result.ok()) << undone.result.failure().text();
    record = *undone.result;
    EXPECT_EQ(record.document, document(expected));
    EXPECT_EQ(record.head.deed, Deed::kUndo);
    EXPECT_EQ(record.head.by, "MT");
  }
  EXPECT_EQ(record.head.revision, 5);
  EXPECT_EQ(record.head.content_of, 1);
  EXPECT_EQ(store_->undo(act_on(record), std::nullopt).result.failure().code, "record.undo");
  // Back to the future: revision 3 is named.
  record = *store_->undo(act_on(record), 3).result;
  EXPECT_EQ(record.document, document("c"));
  EXPECT_EQ(store_->undo(act_on(record), 6).result.failure().code, "record.undo");
  EXPECT_EQ(store_->undo(act_on(record), 0).result.failure().code, "record.undo");
  // The list of parts follows.
  EXPECT_EQ(store_->part_line(id("a"))->summary.name, "c");
  // A stale undo is a conflict like any other.
  Act stale = act_on(record);
  stale.expected_revision = 2;
  EXPECT_EQ(store_->undo(stale, std::nullopt).result.failure().code, "record.conflict");
}

// Withdrawing takes a record off the lists only; it can be brought back, or the deed undone.
TEST_P(WriteTest, WithdrawAndRestore) {
  const Record part = put_part("rail");
  const Record gone = *store_->withdraw(act_on(part)).result;
  EXPECT_TRUE(gone.head.withdrawn);
  EXPECT_EQ(gone.document, part.document);
  EXPECT_EQ(store_->find_parts({})->total, 0);
  EXPECT_EQ(store_->find_parts({.with_withdrawn = true})->total, 1);
  EXPECT_TRUE(store_->get(Kind::kPart, id("rail")).ok());
  EXPECT_EQ(store_->withdraw(act_on(gone)).result.failure().code, "record.withdrawn");
  const Writing put_on_it = store_->put(
      {.kind = Kind::kPart, .id = id("rail"), .document = "{}", .expected_revision = 2});
  EXPECT_EQ(put_on_it.result.failure().code, "record.withdrawn");
  const Record back = *store_->restore(act_on(gone)).result;
  EXPECT_FALSE(back.head.withdrawn);
  EXPECT_EQ(back.head.deed, Deed::kRestore);
  EXPECT_EQ(store_->restore(act_on(back)).result.failure().code, "record.withdrawn");
  EXPECT_EQ(store_->find_parts({})->total, 1);
  EXPECT_TRUE(store_->undo(act_on(back), std::nullopt).result->head.withdrawn);
  EXPECT_EQ(store_->withdraw({.kind = Kind::kPart, .id = id("none"), .expected_revision = 0})
                .result.failure()
                .code,
            "record.none");
}

// A wish sent twice is done once and answered twice, also after other changes and by another
// connection; its key cannot serve another wish.
TEST_P(WriteTest, KeysMakeWritesRepeatable) {
  const Put wish{.kind = Kind::kPart, .document = document("rail"), .who = "KB", .key = "k1"};
  const Record first = put(wish);
  put({.kind = Kind::kPart,
       .id = first.head.id,
       .document = document("other"),
       .expected_revision = 1});
  const auto second_door = open(place_);
  for (Store* store : {store_.get(), second_door.get()}) {
    const Writing again = store->put(wish);
    ASSERT_TRUE(again.result.ok()) << again.result.failure().text();
    EXPECT_TRUE(again.repeated);
    EXPECT_EQ(*again.result, first);
  }
  EXPECT_EQ(*store_->latest_change(), 2);
  Put other = wish;
  other.who = "MT";
  EXPECT_EQ(store_->put(other).result.failure().code, "record.key");
  Act undo = act_on(*store_->get(Kind::kPart, first.head.id));
  undo.key = "k2";
  const Writing undone = store_->undo(undo, std::nullopt);
  EXPECT_FALSE(undone.repeated);
  EXPECT_EQ(*store_->undo(undo, std::nullopt).result, *undone.result);
  EXPECT_EQ(store_->undo(undo, 1).result.failure().code, "record.key");
}

// A failed wish leaves its key free; a key older than a week is forgotten when the next comes.
TEST_P(WriteTest, KeysLastAWeek) {
  Put wish{
      .kind = Kind::kPart, .id = id("a"), .document = "{}", .expected_revision = 4, .key = "k"};
  EXPECT_EQ(store_->put(wish).result.failure().code, "record.none");
  wish.expected_revision = 0;
  put(wish);
  constexpr std::int64_t kWeek_ms = 7LL * 24 * 3600 * 1000;
  clock_.pass(kWeek_ms);
  put({.kind = Kind::kRun, .document = "{}", .key = "other"});
  EXPECT_TRUE(store_->put(wish).repeated);
  clock_.pass(1);
  put({.kind = Kind::kRun, .document = "{}", .key = "third"});
  EXPECT_EQ(store_->put(wish).result.failure().code, "record.conflict");
}

// What belongs to a part names one that is there; later revisions need not say so again.
TEST_P(WriteTest, RecordsBelongToParts) {
  const Put orphan{.kind = Kind::kRun, .id = id("r"), .document = "{}", .part = id("rail")};
  EXPECT_EQ(store_->put(orphan).result.failure().code, "record.part");
  put_part("rail");
  put(orphan);
  const Record later =
      put({.kind = Kind::kRun, .id = id("r"), .document = "{\"n\":2}", .expected_revision = 1});
  EXPECT_EQ(later.head.part, id("rail"));
  EXPECT_EQ(store_->put({.kind = Kind::kPart, .document = "{}", .part = id("rail")})
                .result.failure()
                .code,
            "record.part");
}

// Bytes are kept before the record that names them, once for any number of records.
TEST_P(WriteTest, AttachmentsNameTheirBytes) {
  std::string bytes;
  for (int i = 0; i < 70'000; ++i) bytes += static_cast<char>(i * i);
  const BlobId blob = *store_->keep_blob(bytes);
  EXPECT_EQ(blob, BlobId::of(bytes));
  EXPECT_EQ(*store_->keep_blob(bytes), blob);
  EXPECT_EQ(*store_->blob(blob), bytes);
  EXPECT_EQ(*store_->blob(*store_->keep_blob("")), "");
  EXPECT_EQ(store_->blob(BlobId::of("unknown")).failure().code, "blob.none");
  const Record kept = put({.kind = Kind::kAttachment, .document = "{}", .blob = blob});
  EXPECT_EQ(store_->get(Kind::kAttachment, kept.head.id)->head.blob, blob);
  EXPECT_EQ(
      store_->put({.kind = Kind::kAttachment, .document = "{}", .blob = BlobId::of("unknown")})
          .result.failure()
          .code,
      "record.blob");
  EXPECT_EQ(store_->keep_blob(std::string(kLargestBlob + 1, 'x')).failure().code, "blob.size");
}

// Texts no database could hold exactly are refused before anything is written.
TEST_P(WriteTest, BadTextsAreRefused) {
  EXPECT_EQ(store_->put({.document = "[1]"}).result.failure().code, "record.document");
  EXPECT_EQ(store_->put({.document = "{}", .who = "a\nb"}).result.failure().code, "record.text");
  EXPECT_EQ(store_->put({.document = "{}", .key = std::string(129, 'k')}).result.failure().code,
            "record.text");
  EXPECT_EQ(store_->withdraw({.id = id("a"), .who = std::string(33, 'k')}).result.failure().code,
            "record.text");
  EXPECT_EQ(*store_->latest_change(), 0);
}

}  // namespace
}  // namespace bight::records

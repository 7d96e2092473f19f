#include <gmock/gmock.h>

#include "records/store_test_util.h"

namespace bight::records {
namespace {

using base::Result;
using test::document;
using test::id;

class TakeTest : public test::StoreTest {
 protected:
  std::vector<Bundle> bundles_of(Store& store, const Scope& scope = {}) {
    std::vector<Bundle> out;
    EXPECT_TRUE(store
                    .each_bundle(scope,
                                 [&out](const Bundle& bundle) -> base::Status {
                                   out.push_back(bundle);
                                   return base::Done{};
                                 })
                    .ok());
    return out;
  }

  static Result<TakingReport> take(Store& store, const std::vector<Bundle>& bundles,
                                   Taking taking = Taking::kAllOrNothing,
                                   const std::vector<std::string>& blobs = {}) {
    std::size_t blob = 0;
    std::size_t bundle = 0;
    return store.take(
        [&]() -> Result<std::optional<std::string>> {
          if (blob == blobs.size()) return std::optional<std::string>();
          return std::optional<std::string>(blobs[blob++]);
        },
        [&]() -> Result<std::optional<Bundle>> {
          if (bundle == bundles.size()) return std::optional<Bundle>();
          return std::optional<Bundle>(bundles[bundle++]);
        },
        taking);
  }

  // A part with an attachment, a run and some history.
  void fill() {
    put_part("rail");
    put_part("gate");
    const BlobId blob = *store_->keep_blob("drawing");
    put({.kind = Kind::kAttachment,
         .id = id("d"),
         .document = "{}",
         .part = id("rail"),
         .blob = blob});
    put({.kind = Kind::kRun, .id = id("r"), .document = "{}", .part = id("rail")});
    store_->undo(act_on(put({.kind = Kind::kPart,
                             .id = id("rail"),
                             .document = document("rail 2"),
                             .expected_revision = 1})),
                 std::nullopt);
  }
};
BIGHT_BOTH_STORES(TakeTest);

// A whole shop taken into an empty one is the same shop: ids, times, change numbers, lists.
TEST_P(TakeTest, EmptyShopBecomesTheSame) {
  fill();
  const auto other = open(fresh_place());
  const TakingReport report =
      *take(*other, bundles_of(*store_), Taking::kAllOrNothing, {"drawing"});
  EXPECT_TRUE(report.written);
  EXPECT_EQ(report.added, 4);
  EXPECT_EQ(report.blobs, 1);
  EXPECT_EQ(*other->inventory(), *store_->inventory());
  EXPECT_EQ(*other->get(Kind::kPart, id("rail")), *store_->get(Kind::kPart, id("rail")));
  EXPECT_EQ(other->find_parts({.words = "304"})->total, 2);
  // Taken again it changes nothing.
  const TakingReport again = *take(*other, bundles_of(*store_), Taking::kAllOrNothing, {"drawing"});
  EXPECT_EQ(again.same, 4);
  EXPECT_EQ(again.added + again.continued + again.blobs, 0);
  EXPECT_EQ(*other->inventory(), *store_->inventory());
}

// One job brings its part and what belongs to it, nothing else; in a filled shop its changes come
// after those already there, so that whoever watches sees them.
TEST_P(TakeTest, OneJobIntoAFilledShop) {
  fill();
  const auto other = open(fresh_place());
  other->put({.kind = Kind::kPart, .id = id("own"), .document = document("own")});
  const std::int64_t before = *other->latest_change();
  const auto job = bundles_of(*store_, {.part = id("rail")});
  EXPECT_EQ(job.size(), 3u);
  const TakingReport report = *take(*other, job, Taking::kAllOrNothing, {"drawing"});
  EXPECT_EQ(report.added, 3);
  const auto seen = *other->changes_since(before);
  EXPECT_EQ(seen.size(), 5u);  // three revisions of the part, one of the run, one of the attachment
  EXPECT_EQ(other->get(Kind::kPart, id("gate")).failure().code, "record.none");
  EXPECT_EQ(other->find_parts({})->parts.front().head.id, id("rail"));
  EXPECT_EQ(other->get(Kind::kPart, id("rail"))->document, document("rail"));
  // The next change of this shop goes on behind them.
  EXPECT_GT(other->put({.kind = Kind::kRun, .document = "{}"}).result->head.change,
            seen.back().change);
}

// A shop that went on elsewhere brings what is new; the older copy brings nothing.
TEST_P(TakeTest, ContinuedRecords) {
  fill();
  const auto other = open(fresh_place());
  const auto older = bundles_of(*store_);
  ASSERT_TRUE(take(*other, older, Taking::kAllOrNothing, {"drawing"}).ok());
  put({.kind = Kind::kPart, .id = id("gate"), .document = document("new"), .expected_revision = 1});
  const TakingReport report = *take(*other, bundles_of(*store_));
  EXPECT_EQ(report.continued, 1);
  EXPECT_EQ(report.same, 3);
  EXPECT_EQ(other->get(Kind::kPart, id("gate"))->document, document("new"));
  EXPECT_EQ(other->part_line(id("gate"))->summary.name, "new");
  const TakingReport back = *take(*other, older);
  EXPECT_EQ(back.same, 4);
  EXPECT_EQ(other->get(Kind::kPart, id("gate"))->head.revision, 2);
}

// Records that differ are reported and never overwritten, in each way of taking.
TEST_P(TakeTest, DifferencesAreReported) {
  fill();
  const auto other = open(fresh_place());
  other->put({.kind = Kind::kPart, .id = id("gate"), .document = document("mine"), .who = "AB"});
  const auto brought = bundles_of(*store_);
  for (const Taking taking : {Taking::kLook, Taking::kAllOrNothing}) {
    const TakingReport report = *take(*other, brought, taking, {"drawing"});
    EXPECT_FALSE(report.written);
    ASSERT_EQ(report.differences.size(), 1u);
    EXPECT_EQ(report.differences.front().id, id("gate"));
    EXPECT_EQ(report.differences.front().first_revision, 1);
    EXPECT_EQ(report.added, 3);
    EXPECT_EQ(*other->latest_change(), 1);
    EXPECT_EQ(other->blob(BlobId::of("drawing")).failure().code, "blob.none");
  }
  const TakingReport rest = *take(*other, brought, Taking::kTakeRest, {"drawing"});
  EXPECT_TRUE(rest.written);
  EXPECT_EQ(rest.differences.size(), 1u);
  EXPECT_EQ(other->get(Kind::kPart, id("gate"))->document, document("mine"));
  EXPECT_TRUE(other->get(Kind::kPart, id("rail")).ok());
}

// Looking writes nothing even where nothing differs.
TEST_P(TakeTest, LookingWritesNothing) {
  fill();
  const auto other = open(fresh_place());
  EXPECT_EQ(take(*other, bundles_of(*store_), Taking::kLook, {"drawing"})->added, 4);
  EXPECT_EQ(other->inventory()->records, 0);
}

// A history that does not hold together is refused as a whole.
TEST_P(TakeTest, BrokenHistoriesAreRefused) {
  fill();
  const auto sound = bundles_of(*store_);
  const std::size_t rail = sound.size() - 1;
  ASSERT_EQ(sound[rail].revisions.size(), 3u);
  const std::vector<std::pair<const char*, std::function<void(std::vector<Bundle>&)>>> faults{
      {"record.broken", [&](auto& b) { b[rail].revisions.erase(b[rail].revisions.begin() + 1); }},
      {"record.broken", [&](auto& b) { b[rail].revisions.clear(); }},
      {"record.broken", [&](auto& b) { b[rail].revisions[1].head.id = id("other"); }},
      {"record.broken", [&](auto& b) { b[rail].revisions[1].head.change = 99; }},
      {"record.broken", [&](auto& b) { b[rail].revisions[0].head.change = 0; }},
      {"record.broken", [&](auto& b) { b[rail].revisions[2].head.content_of = 4; }},
      {"record.broken", [&](auto& b) { b[rail].revisions[2].head.content_of = 0; }},
      {"record.broken", [&](auto& b) { b[rail].revisions[0].head.part = id("gate"); }},
      {"record.broken", [&](auto& b) { b[rail].revisions[0].head.at -= std::chrono::years(90); }},
      {"record.broken", [&](auto& b) { b[rail].revisions[0].head.blob = BlobId::of("no"); }},
      {"record.broken", [&](auto& b) { b[0].revisions[0].head.change = 1; }},
      {"record.broken", [&](auto& b) { b.erase(b.begin() + static_cast<long>(rail)); }},
      {"record.document", [&](auto& b) { b[rail].revisions[0].document = "[]"; }},
      {"record.text", [&](auto& b) { b[rail].revisions[0].head.by = "a\nb"; }}};
  const auto other = open(fresh_place());
  for (std::size_t i = 0; i < faults.size(); ++i) {
    auto bundles = sound;
    faults[i].second(bundles);
    const auto taken = take(*other, bundles, Taking::kTakeRest, {"drawing"});
    ASSERT_FALSE(taken.ok()) << i;
    EXPECT_EQ(taken.failure().code, faults[i].first) << i << " " << taken.failure().text();
  }
  EXPECT_EQ(other->inventory()->records, 0);
  // Without its bytes an attachment is none either.
  EXPECT_EQ(take(*other, sound).failure().code, "record.broken");
}

}  // namespace
}  // namespace bight::records

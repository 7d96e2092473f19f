#include "records/store_test_util.h"

namespace bight::records {
namespace {

using test::document;
using test::id;

class PartsTest : public test::StoreTest {};
BIGHT_BOTH_STORES(PartsTest);

std::vector<std::string> found(Store& store, const std::string& words) {
  const auto list = store.find_parts({.words = words});
  EXPECT_TRUE(list.ok());
  std::vector<std::string> out;
  for (const PartLine& line : list->parts) out.push_back(line.head.id.text());
  return out;
}

using Names = std::vector<std::string>;

// A line of the list holds everything the summary said, numbers to the last bit.
TEST_P(PartsTest, LinesHoldTheSummary) {
  const Record part = put_part("rail");
  const PartList list = *store_->find_parts({.words = "38.1 304 R114"});
  ASSERT_EQ(list.parts.size(), 1u);
  EXPECT_EQ(list.total, 1);
  EXPECT_EQ(list.parts.front().summary, test::summary(document("rail")));
  EXPECT_EQ(list.parts.front().head, part.head);
  EXPECT_EQ(store_->part_line(id("rail"))->summary, list.parts.front().summary);
  EXPECT_EQ(store_->part_line(id("none")).failure().code, "record.none");
}

// What search finds follows each change at once, also those of another connection.
TEST_P(PartsTest, SearchFollowsEveryDoor) {
  const auto other = open(place_);
  put_part("rail");
  put_part("gate");
  EXPECT_EQ(found(*other, "304"), (Names{"gate", "rail"}));
  ASSERT_TRUE(other
                  ->put({.kind = Kind::kPart,
                         .id = id("rail"),
                         .document = document("handrail"),
                         .expected_revision = 1})
                  .result.ok());
  EXPECT_EQ(found(*store_, "304"), (Names{"rail", "gate"}));
  EXPECT_EQ(found(*store_, "handr"), Names{"rail"});
  ASSERT_TRUE(
      other->withdraw({.kind = Kind::kPart, .id = id("rail"), .expected_revision = 2}).result.ok());
  EXPECT_EQ(found(*store_, "304"), Names{"gate"});
  // Records of other kinds change nothing here.
  put({.kind = Kind::kRun, .document = "{}", .part = id("gate")});
  EXPECT_EQ(found(*store_, ""), Names{"gate"});
}

// More lines than one fetch come in order; limits hold.
TEST_P(PartsTest, LongLists) {
  constexpr int kMany = 620;
  std::vector<std::string> names;
  for (int i = 0; i < kMany; ++i) names.push_back(fmt::format("p{}", i));
  put_many(Kind::kPart, names);
  const PartList all = *store_->find_parts({.limit = 100'000});
  ASSERT_EQ(all.parts.size(), static_cast<std::size_t>(kMany));
  for (int i = 0; i < kMany; ++i) {
    EXPECT_EQ(all.parts[static_cast<std::size_t>(i)].head.id.text(),
              fmt::format("p{}", kMany - 1 - i));
  }
  EXPECT_EQ(store_->find_parts({.limit = 3, .from = 600})->parts.size(), 3u);
  EXPECT_EQ(store_->find_parts({.limit = 100'001}).failure().code, "record.limit");
  EXPECT_EQ(store_->find_parts({.words = "a\nb"}).failure().code, "record.text");
  EXPECT_EQ(store_->find_parts({.words = std::string(1001, 'a')}).failure().code, "record.text");
}

// A newer way to summarise is applied to all parts on opening, once.
TEST_P(PartsTest, NewSummariesOnOpening) {
  put_part("rail");
  put_part("gate");
  store_.reset();
  StoreOptions newer = options();
  std::atomic<int> calls{0};
  newer.summary_version = 2;
  newer.summarise = [&calls](std::string_view) {
    ++calls;
    return PartSummary{.name = "new\n", .od_mm = std::numeric_limits<double>::quiet_NaN()};
  };
  for (int opening = 0; opening < 2; ++opening) {
    const auto store = std::move(open_store(place_, newer)).value();
    EXPECT_EQ(found(*store, "new"), (Names{"gate", "rail"}));
    EXPECT_TRUE(found(*store, "rail").empty());
    // What no database could hold was taken out of it.
    EXPECT_EQ(store->part_line(id("rail"))->summary.name, "new ");
    EXPECT_FALSE(store->part_line(id("rail"))->summary.od_mm.has_value());
  }
  EXPECT_EQ(calls, 2);
}

// A store without a summary still lists.
TEST_P(PartsTest, NoSummary) {
  const auto store = std::move(open_store(fresh_place(), {})).value();
  ASSERT_TRUE(store->put({.kind = Kind::kPart, .id = id("a"), .document = "{}"}).result.ok());
  EXPECT_EQ(found(*store, ""), Names{"a"});
}

}  // namespace
}  // namespace bight::records

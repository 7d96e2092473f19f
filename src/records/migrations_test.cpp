#include "records/migrations.h"

#include <array>
#include <thread>

#include "records/store_test_util.h"

namespace bight::records {
namespace {

using base::Done;
using base::Status;
using test::document;
using test::id;

class MigrationsTest : public test::StoreTest {
 protected:
  void SetUp() override {
    test::StoreTest::SetUp();
    if (IsSkipped()) return;
    place_ = fresh_place();
    door_ = std::move(Database::open(*place_named(place_))).value();
  }
  void up_to(int number) {
    const Status done = migrate(*door_, migrations().first(static_cast<std::size_t>(number)));
    ASSERT_TRUE(done.ok()) << done.failure().text();
    ASSERT_EQ(*schema_number(*door_), number);
  }
  void sql(const std::string& statement) {
    const Status done = door_->write([&](soci::session& session) -> Status {
      run(session, statement);
      return Done{};
    });
    ASSERT_TRUE(done.ok()) << done.failure().text();
  }
  std::int64_t count(const std::string& from) {
    return *door_->read([&](soci::session& session) -> base::Result<std::int64_t> {
      return *number(session, "SELECT count(*) FROM " + from);
    });
  }
  // A part as the first tables hold it.
  void put_raw_part() {
    sql("INSERT INTO bight_record (kind, id, revision, change, withdrawn) VALUES "
        "('part', 'rail', 2, 2, 0)");
    sql("INSERT INTO bight_revision (kind, id, revision, change, deed, content_of, at_ms, who, "
        "withdrawn, document) VALUES ('part', 'rail', 1, 1, 'put', 1, 5, 'KB', 0, "
        "'{\"name\":\"old\"}'), ('part', 'rail', 2, 2, 'put', 2, 6, 'MT', 0, "
        "'{\"name\":\"new\"}')");
    sql("UPDATE bight_state SET change = 2");
  }
  std::unique_ptr<Database> door_;
};
BIGHT_BOTH_STORES(MigrationsTest);

// Each migration has its test below; a new one makes this fail until it has, too.
TEST(Migrations, EachHasItsTest) {
  const std::array<int, 3> tested{1, 2, 3};
  ASSERT_EQ(migrations().size(), tested.size());
  for (std::size_t i = 0; i < tested.size(); ++i) EXPECT_EQ(migrations()[i].number, tested[i]);
}

// 1: from nothing to records; the shop stands at change 0.
TEST_P(MigrationsTest, First) {
  EXPECT_EQ(*schema_number(*door_), 0);
  up_to(1);
  EXPECT_EQ(count("bight_state WHERE change = 0"), 1);
  put_raw_part();
  EXPECT_EQ(count("bight_revision"), 2);
}

// 2: parts that were there before get their line in the list when the store opens.
TEST_P(MigrationsTest, Second) {
  up_to(1);
  put_raw_part();
  up_to(2);
  EXPECT_EQ(count("bight_part"), 0);
  EXPECT_EQ(count("bight_state WHERE summary_version = 0 AND change = 2"), 1);
  const auto store = open(place_);
  EXPECT_EQ(store->find_parts({.words = "new"})->total, 1);
  EXPECT_EQ(store->get_revision(Kind::kPart, id("rail"), 1)->document, document("old"));
}

// 3: records stay as they were, and wishes can be repeated from then on.
TEST_P(MigrationsTest, Third) {
  up_to(1);
  put_raw_part();
  up_to(2);
  sql("INSERT INTO bight_part (id, name, customer, drawing, tube, radii_mm, material, bends, hand, "
      "search, picture) VALUES ('rail', 'kept', '', '', '', '', '', 0, '', '', '')");
  sql("UPDATE bight_state SET summary_version = 1");
  up_to(3);
  const auto store = open(place_);
  EXPECT_EQ(store->part_line(id("rail"))->summary.name, "kept");
  EXPECT_EQ(store->get(Kind::kPart, id("rail"))->head.by, "MT");
  const Put wish{.kind = Kind::kRun, .document = "{}", .key = "k"};
  EXPECT_EQ(*store->put(wish).result, *store->put(wish).result);
}

// A migration that fails half-way leaves the step before it, whole.
TEST_P(MigrationsTest, AFailedStepIsNoStep) {
  up_to(1);
  const std::array<Migration, 2> steps{
      {migrations()[0],
       {2, "CREATE TABLE bight_half (a {INTEGER}) {STRICT}; SELECT no FROM where;"}}};
  EXPECT_FALSE(migrate(*door_, steps).ok());
  EXPECT_EQ(*schema_number(*door_), 1);
  const auto there = door_->read([&](soci::session& session) -> base::Result<bool> {
    return has_table(GetParam(), session, "bight_half");
  });
  EXPECT_FALSE(*there);
}

// What a newer Bight wrote is left alone.
TEST_P(MigrationsTest, NewerIsRefused) {
  up_to(3);
  sql("UPDATE bight_state SET schema_number = 99");
  const auto opened = open_store(place_, options());
  ASSERT_FALSE(opened.ok());
  EXPECT_EQ(opened.failure().code, "store.newer");
  EXPECT_EQ(count("bight_state WHERE schema_number = 99"), 1);
}

// Stations that start at the same moment make the tables once.
TEST_P(MigrationsTest, ManyOpenAtOnce) {
  std::vector<std::thread> threads;
  std::atomic<int> opened{0};
  for (int t = 0; t < 5; ++t) {
    threads.emplace_back([&] {
      const auto store = open_store(place_, options());
      EXPECT_TRUE(store.ok()) << store.failure().text();
      if (store.ok() && (*store)->put({.kind = Kind::kRun, .document = "{}"}).result.ok()) ++opened;
    });
  }
  for (std::thread& thread : threads) thread.join();
  EXPECT_EQ(opened, 5);
  EXPECT_EQ(count("bight_revision"), 5);
}

// A database of something else is not taken for ours.
TEST(Migrations, ForeignFilesAreRefused) {
  const test::Folder folder;
  const std::string path = (folder / "other.db").string();
  {
    const auto session = connect(*place_named(path));
    run(*session, "CREATE TABLE invoices (number INTEGER)");
  }
  const auto opened = open_store(path, {});
  ASSERT_FALSE(opened.ok());
  EXPECT_EQ(opened.failure().code, "store.open");
}

}  // namespace
}  // namespace bight::records

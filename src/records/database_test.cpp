#include "records/database.h"

#include <thread>

#include "records/store_test_util.h"

namespace bight::records {
namespace {

using base::Done;
using base::Failure;
using base::Result;
using base::Status;
using test::document;
using test::id;

class DatabaseTest : public test::StoreTest {
 protected:
  std::unique_ptr<Database> database(
      std::chrono::milliseconds patience = std::chrono::seconds(60)) {
    Place place = *place_named(place_);
    place.patience = patience;
    return std::move(Database::open(place)).value();
  }
};
BIGHT_BOTH_STORES(DatabaseTest);

// Work that fails, throws or is not to be kept leaves nothing behind.
TEST_P(DatabaseTest, OnlyKeptWorkIsKept) {
  const auto door = database();
  const auto set = [](soci::session& session) { set_change(session, 5); };
  EXPECT_EQ(door->write([&](soci::session& session) -> Status {
                  set(session);
                  return Failure{"record.none", "", "no", ""};
                })
                .failure()
                .code,
            "record.none");
  EXPECT_EQ(door->write([&](soci::session& session) -> Status {
                  set(session);
                  session << "SELECT nothing FROM nowhere";
                  return Done{};
                })
                .failure()
                .code,
            "store.failed");
  EXPECT_TRUE(door->write(
                      [&](soci::session& session) -> Status {
                        set(session);
                        return Done{};
                      },
                      false)
                  .ok());
  EXPECT_EQ(*store_->latest_change(), 0);
  EXPECT_TRUE(door->write([&](soci::session& session) -> Status {
                    set(session);
                    return Done{};
                  })
                  .ok());
  EXPECT_EQ(*store_->latest_change(), 5);
}

// A reader sees one moment, whatever is written meanwhile, and does not hold up the writer.
TEST_P(DatabaseTest, ReadersSeeOneMoment) {
  const auto door = database();
  const auto seen = door->read([&](soci::session& session) -> Result<std::int64_t> {
    const auto before = number(session, "SELECT change FROM bight_state");
    put_part("rail");
    EXPECT_EQ(number(session, "SELECT change FROM bight_state"), before);
    return *before;
  });
  EXPECT_EQ(*seen, 0);
  EXPECT_EQ(*store_->latest_change(), 1);
}

// While another process writes for too long, a write says so and nothing is lost.
TEST_P(DatabaseTest, BusyIsSaid) {
  const auto door = database(std::chrono::milliseconds(100));
  const auto other = database();
  const Status done = other->write([&](soci::session& session) -> Status {
    locked_change(session);
    const Status refused = door->write([](soci::session& inner) -> Status {
      locked_change(inner);
      return Done{};
    });
    EXPECT_EQ(refused.failure().code, "store.busy");
    return Done{};
  });
  EXPECT_TRUE(done.ok());
  EXPECT_TRUE(door->write([](soci::session& session) -> Status {
                    locked_change(session);
                    return Done{};
                  })
                  .ok());
}

// More threads than connections all get their turn.
TEST_P(DatabaseTest, ManyReaders) {
  put_part("rail");
  const auto door = database();
  std::vector<std::thread> threads;
  std::atomic<int> read{0};
  for (int t = 0; t < 20; ++t) {
    threads.emplace_back([&] {
      for (int i = 0; i < 20; ++i) {
        const auto change = door->read([](soci::session& session) -> Result<std::int64_t> {
          return *number(session, "SELECT change FROM bight_state");
        });
        if (!change.ok()) ADD_FAILURE() << change.failure().text();
        if (change.ok() && *change == 1) ++read;
      }
    });
  }
  for (std::thread& thread : threads) thread.join();
  EXPECT_EQ(read, 400);
}

class ServerTest : public test::StoreTest {
 protected:
  // Ends every connection of the store's own name, as a restarted server does.
  void cut_connections() {
    on_server(
        "SELECT pg_terminate_backend(pid, 2000) FROM pg_stat_activity WHERE "
        "application_name = 'bight_cut'");
  }
};
INSTANTIATE_TEST_SUITE_P(Server, ServerTest, testing::Values(Dialect::kPostgresql),
                         test::dialect_name);

// A connection that died while idle is replaced without anybody noticing.
TEST_P(ServerTest, IdleConnectionsAreReplaced) {
  const auto store = open(place_ + "&application_name=bight_cut");
  for (int round = 0; round < 3; ++round) {
    EXPECT_TRUE(store->put({.kind = Kind::kRun, .document = "{}"}).result.ok());
    cut_connections();
  }
  EXPECT_EQ(*store->latest_change(), 3);
}

// A connection that dies within a write is said to be lost; the write did not happen, and sent
// again with its key it does.
TEST_P(ServerTest, LostWithinAWrite) {
  const auto door = std::move(Database::open(*place_named(place_))).value();
  const Status lost = door->write([](soci::session& session) -> Status {
    set_change(session, 5);
    session << "SELECT pg_terminate_backend(pg_backend_pid())";
    return Done{};
  });
  EXPECT_EQ(lost.failure().code, "store.lost");
  EXPECT_EQ(*store_->latest_change(), 0);
  EXPECT_TRUE(door->write([](soci::session& session) -> Status {
                    set_change(session, 6);
                    return Done{};
                  })
                  .ok());
  EXPECT_EQ(*store_->latest_change(), 6);
}

// A server that is not there is said so on opening.
TEST(Database, NoServer) {
  const auto opened = open_store("postgresql://nobody@127.0.0.1:1/none", {});
  ASSERT_FALSE(opened.ok());
  EXPECT_EQ(opened.failure().code, "store.open");
  EXPECT_EQ(opened.failure().where, "PostgreSQL, 127.0.0.1/none");
}

}  // namespace
}  // namespace bight::records

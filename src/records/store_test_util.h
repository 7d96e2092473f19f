// A shop of its own for each test, on SQLite or on the PostgreSQL server that
// BIGHT_TEST_POSTGRESQL names (tools/with_postgresql.sh starts one).
#pragma once

#include <fmt/format.h>
#include <gtest/gtest.h>
#include <soci/soci.h>
#include <unistd.h>

#include <atomic>
#include <cstdlib>
#include <filesystem>
#include <memory>
#include <string>
#include <utility>

#include "records/database.h"
#include "records/open.h"
#include "records/rows.h"
#include "records/sql_store.h"
#include "records/store.h"

namespace bight::records::test {

// An hour that stands still until it is moved.
class HandClock final : public Clock {
 public:
  Instant now() const override { return Instant(std::chrono::milliseconds(ms_.load())); }
  void pass(std::int64_t ms) { ms_ += ms; }

 private:
  std::atomic<std::int64_t> ms_{1'700'000'000'000};
};

inline RecordId id(const std::string& text) { return *RecordId::parse(text); }

// A document that holds a name and nothing else.
inline std::string document(const std::string& name) { return "{\"name\":\"" + name + "\"}"; }

inline PartSummary summary(std::string_view text) {
  const std::size_t start = text.find("\"name\":\"");
  if (start == std::string_view::npos) return {};
  const std::string_view rest = text.substr(start + 8);
  return {.name = std::string(rest.substr(0, rest.find('"'))),
          .customer = "Fenwater Rail & Frame",
          .tube = "38.1 x 1.5",
          .od_mm = 38.1,
          .wall_mm = 1.5,
          .radii_mm = {114.3, 76.2},
          .material = "304",
          .bends = 3,
          .hand = "left",
          .picture = "M0 0L10 10"};
}

// A folder that is removed at the end.
class Folder {
 public:
  Folder() {
    static std::atomic<int> count{0};
    path_ = std::filesystem::temp_directory_path() /
            fmt::format("bight_records_{}_{}", ::getpid(), count++);
    std::filesystem::create_directories(path_);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  ~Folder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  std::filesystem::path operator/(const std::string& name) const { return path_ / name; }
  const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

inline const char* server() { return std::getenv("BIGHT_TEST_POSTGRESQL"); }

// The server's address with room for a machine that is busy with other work.
inline std::string server_address() { return fmt::format("{}?connect_timeout=120", server()); }

// Tests of both stores: TEST_P(StoreTest, …).
class StoreTest : public testing::TestWithParam<Dialect> {
 protected:
  void SetUp() override {
    if (GetParam() == Dialect::kPostgresql && server() == nullptr) {
      GTEST_SKIP() << "BIGHT_TEST_POSTGRESQL names no server (tools/with_postgresql.sh)";
    }
    place_ = fresh_place();
    store_ = open(place_);
  }

  void TearDown() override {
    store_.reset();
    for (const std::string& schema : schemas_) {
      on_server(fmt::format("DROP SCHEMA {} CASCADE", schema));
    }
  }

  // Where an empty shop may be made.
  std::string fresh_place() {
    static std::atomic<int> count{0};
    const int number = count++;
    if (GetParam() == Dialect::kSqlite) return (folder_ / fmt::format("{}.db", number)).string();
    const std::string schema = fmt::format("bight_test_{}_{}", ::getpid(), number);
    on_server("CREATE SCHEMA " + schema);
    schemas_.push_back(schema);
    return fmt::format("{}&options=-csearch_path%3D{}", server_address(), schema);
  }

  StoreOptions options() const {
    return {.summarise = summary, .clock = &clock_, .patience = std::chrono::milliseconds(2000)};
  }

  std::unique_ptr<Store> open(const std::string& place) {
    auto opened = open_store(place, options());
    EXPECT_TRUE(opened.ok()) << opened.failure().text();
    // Nothing that follows makes sense without a shop.
    if (!opened.ok()) std::abort();
    return std::move(opened).value();
  }

  static void on_server(const std::string& sql) {
    const auto database = Database::open(*place_named(server_address()));
    ASSERT_TRUE(database.ok()) << database.failure().text();
    const auto done = (*database)->plain([&sql](soci::session& session) -> base::Status {
      session << sql;
      return base::Done{};
    });
    ASSERT_TRUE(done.ok()) << done.failure().text();
  }

  // A write that must succeed.
  Record put(const Put& wish) {
    Writing writing = store_->put(wish);
    EXPECT_TRUE(writing.result.ok()) << writing.result.failure().text();
    return std::move(writing.result).value();
  }
  Record put_part(const std::string& name) {
    return put({.kind = Kind::kPart, .id = id(name), .document = document(name), .who = "KB"});
  }
  // Many records of one kind, each with one revision, in one transaction.
  void put_many(Kind kind, const std::vector<std::string>& names) {
    std::size_t next = 0;
    const auto taken = store_->take(
        []() -> base::Result<std::optional<std::string>> { return std::optional<std::string>(); },
        [&]() -> base::Result<std::optional<Bundle>> {
          if (next == names.size()) return std::optional<Bundle>();
          Bundle bundle;
          bundle.revisions.push_back({.head = {.kind = kind,
                                               .id = id(names[next]),
                                               .change = static_cast<std::int64_t>(next) + 1,
                                               .at = clock_.now()},
                                      .document = document(names[next])});
          ++next;
          return std::optional<Bundle>(bundle);
        },
        Taking::kAllOrNothing);
    ASSERT_TRUE(taken.ok()) << taken.failure().text();
  }
  Act act_on(const Record& record) const {
    return {.kind = record.head.kind,
            .id = record.head.id,
            .expected_revision = record.head.revision,
            .who = "MT"};
  }

  Folder folder_;
  HandClock clock_;
  std::string place_;
  std::vector<std::string> schemas_;
  std::unique_ptr<Store> store_;
};

inline std::string dialect_name(const testing::TestParamInfo<Dialect>& info) {
  return info.param == Dialect::kSqlite ? "Sqlite" : "Postgresql";
}

}  // namespace bight::records::test

// Instantiates a suite derived from StoreTest for both databases.
#define BIGHT_BOTH_STORES(suite)                                                                   \
  INSTANTIATE_TEST_SUITE_P(                                                                        \
      Both, suite,                                                                                 \
      testing::Values(::bight::records::Dialect::kSqlite, ::bight::records::Dialect::kPostgresql), \
      ::bight::records::test::dialect_name)

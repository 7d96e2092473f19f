#include "records/rows.h"

#include "records/store_test_util.h"

namespace bight::records {
namespace {

using test::id;

class RowsTest : public test::StoreTest {
 protected:
  std::unique_ptr<Database> database() {
    return std::move(Database::open(*place_named(place_))).value();
  }
};
BIGHT_BOTH_STORES(RowsTest);

// Every field of a revision and of a summary survives the table, empty and full.
TEST_P(RowsTest, RowsLeadBack) {
  const auto door = database();
  const Record part{.head = {.kind = Kind::kPart,
                             .id = id("a"),
                             .change = 7,
                             .at = Instant(std::chrono::milliseconds(1))},
                    .document = "{}"};
  Record run{.head = {.kind = Kind::kRun,
                      .id = id("r"),
                      .change = 8,
                      .at = Instant(std::chrono::milliseconds(253'402'300'799'999)),
                      .by = "Jürg",
                      .withdrawn = true,
                      .part = id("a"),
                      .blob = BlobId::of("x")},
             .document = "{\"a\":\"½\"}"};
  PartSummary summary = test::summary(test::document("rail"));
  summary.radii_mm = {114.3, 0.1, 1e-7};
  const auto done = door->write([&](soci::session& session) -> base::Status {
    EXPECT_TRUE(keep_bytes(door->dialect(), session, BlobId::of("x"), "x"));
    EXPECT_FALSE(keep_bytes(door->dialect(), session, BlobId::of("x"), "x"));
    RevisionWriter writer(session);
    writer.write(part);
    writer.write_summary(part.head.id, summary);
    writer.write(run);
    set_change(session, 8);
    return base::Done{};
  });
  ASSERT_TRUE(done.ok()) << done.failure().text();
  const auto read = door->read([&](soci::session& session) -> base::Status {
    EXPECT_EQ(present_record(session, Kind::kPart, id("a")), part);
    EXPECT_EQ(present_record(session, Kind::kRun, id("r")), run);
    EXPECT_FALSE(present_record(session, Kind::kRun, id("none")).has_value());
    EXPECT_EQ(number(session, "SELECT change FROM bight_state"), 8);
    EXPECT_EQ(text(session, "SELECT id FROM bight_record WHERE kind = :kind", {{"kind", "run"}}),
              "r");
    EXPECT_FALSE(text(session, "SELECT id FROM bight_record WHERE kind = 'heat'").has_value());
    return each_part(session, "", {}, [&](PartLine&& line) -> base::Status {
      EXPECT_EQ(line.summary, summary);
      return base::Done{};
    });
  });
  ASSERT_TRUE(read.ok()) << read.failure().text();
}

// A row that cannot be ours is damage, not a guess.
TEST_P(RowsTest, ForeignRowsAreDamage) {
  put_part("a");
  const auto door = database();
  ASSERT_TRUE(door->write([&](soci::session& session) -> base::Status {
                    run(session,
                        "INSERT INTO bight_record (kind, id, revision, change, withdrawn) VALUES "
                        "('spaceship', 'b', 1, 50, 0)");
                    run(session,
                        "INSERT INTO bight_revision (kind, id, revision, change, deed, content_of, "
                        "at_ms, who, withdrawn, document) VALUES "
                        "('spaceship', 'b', 1, 50, 'put', 1, 0, '', 0, '{}')");
                    return base::Done{};
                  })
                  .ok());
  EXPECT_EQ(store_->changes_since(0).failure().code, "store.damaged");
}

}  // namespace
}  // namespace bight::records

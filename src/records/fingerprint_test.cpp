#include "records/fingerprint.h"

#include <gtest/gtest.h>

#include <functional>

namespace bight::records {
namespace {

Record record(std::int64_t change) {
  return {.head = {.kind = Kind::kRun,
                   .id = *RecordId::parse("a"),
                   .change = change,
                   .at = Instant(std::chrono::milliseconds(5)),
                   .by = "KB"},
          .document = "{}"};
}

std::string alone(const Record& record) {
  Fingerprint fingerprint;
  fingerprint.add(record);
  return fingerprint.text();
}

// Worked by hand with sha256sum (GNU coreutils) from the format in docs/formats/archive.md: the
// hash of "3:run" "1:a" "9:1 7 1 5 0" "3:put" "2:KB" "0:" "0:" "2:{}", hashed once more.
TEST(Fingerprint, FollowsTheWrittenFormat) {
  EXPECT_EQ(alone(record(7)), "1db2b108674c75641d3e3c1626cc24be58169f4bebf20ee23fa38f74ec7cca14");
  EXPECT_EQ(Fingerprint().text(), BlobId::of("").text());
}

// Any field that differs shows.
TEST(Fingerprint, EachFieldCounts) {
  const std::vector<std::function<void(Record&)>> changes{
      [](Record& r) { r.head.kind = Kind::kPart; },
      [](Record& r) { r.head.id = *RecordId::parse("b"); },
      [](Record& r) { r.head.revision = 2; },
      [](Record& r) { r.head.change = 8; },
      [](Record& r) { r.head.deed = Deed::kUndo; },
      [](Record& r) { r.head.content_of = 2; },
      [](Record& r) { r.head.at += std::chrono::milliseconds(1); },
      [](Record& r) { r.head.by = "K"; },
      [](Record& r) { r.head.withdrawn = true; },
      [](Record& r) { r.head.part = *RecordId::parse("a"); },
      [](Record& r) { r.head.blob = BlobId::of(""); },
      [](Record& r) { r.document = "{ }"; }};
  for (std::size_t i = 0; i < changes.size(); ++i) {
    Record other = record(7);
    changes[i](other);
    EXPECT_NE(alone(other), alone(record(7))) << i;
  }
}

// The order in which revisions come does not count, their order of change does.
TEST(Fingerprint, OrderIsThatOfChange) {
  Fingerprint forward;
  Fingerprint backward;
  for (const std::int64_t change : {1, 2, 3}) forward.add(record(change));
  for (const std::int64_t change : {3, 2, 1}) backward.add(record(change));
  EXPECT_EQ(forward.text(), backward.text());
  EXPECT_EQ(forward.num_revisions(), 3);
}

// Fields cannot run into one another.
TEST(Fingerprint, FieldsKeepApart) {
  EXPECT_NE(hash_of({"ab", "c"}), hash_of({"a", "bc"}));
  EXPECT_NE(hash_of({"ab"}), hash_of({"ab", ""}));
}

}  // namespace
}  // namespace bight::records

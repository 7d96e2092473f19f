#include "records/record.h"

#include <gtest/gtest.h>

#include <set>

namespace bight::records {
namespace {

Instant at_ms(std::int64_t ms) { return Instant(std::chrono::milliseconds(ms)); }

// Each kind and each deed is found again by its name, and no other name is taken.
TEST(Record, NamesLeadBack) {
  std::set<std::string_view> names;
  for (int i = 0; i < kNumKinds; ++i) {
    const Kind kind = static_cast<Kind>(i);
    ASSERT_TRUE(kind_named(kind_name(kind)).ok());
    EXPECT_EQ(*kind_named(kind_name(kind)), kind);
    names.insert(kind_name(kind));
  }
  EXPECT_EQ(names.size(), static_cast<std::size_t>(kNumKinds));
  for (const Deed deed : {Deed::kPut, Deed::kUndo, Deed::kWithdraw, Deed::kRestore}) {
    EXPECT_EQ(*deed_named(deed_name(deed)), deed);
  }
  EXPECT_EQ(kind_named("Part").failure().code, "record.kind");
  EXPECT_EQ(kind_named("").failure().code, "record.kind");
  EXPECT_EQ(deed_named("gone").failure().code, "record.deed");
}

// An id that could leave its folder, its address or its line is refused.
TEST(Record, IdsAreSafeNames) {
  EXPECT_TRUE(RecordId::parse("gate-post_2").ok());
  EXPECT_TRUE(RecordId::parse(std::string(64, 'a')).ok());
  for (const std::string& bad : {std::string(), std::string("../x"), std::string("a/b"),
                                 std::string("A"), std::string("a b"), std::string("a\nb"),
                                 std::string("a\0b", 3), std::string(65, 'a'), std::string("é")}) {
    EXPECT_EQ(RecordId::parse(bad).failure().code, "record.id") << bad;
  }
}

// Later ids sort behind earlier ones, and those of one moment differ by their random bits.
TEST(Record, FreshIdsSortByAge) {
  const RecordId early = RecordId::fresh(at_ms(1'700'000'000'000), ~std::uint64_t{0});
  const RecordId late = RecordId::fresh(at_ms(1'700'000'000'001), 0);
  EXPECT_LT(early, late);
  EXPECT_EQ(early.text().size(), 16u);
  EXPECT_TRUE(RecordId::parse(early.text()).ok());
  EXPECT_NE(RecordId::fresh(at_ms(5), 1), RecordId::fresh(at_ms(5), 2));
  // 0 of 1970, and the last moment the letters hold: 32^9 - 1 ms, in the year 3084.
  EXPECT_EQ(RecordId::fresh(at_ms(0), 0).text(), "0000000000000000");
  EXPECT_EQ(RecordId::fresh(at_ms(35'184'372'088'831), 0).text(), "zzzzzzzzz0000000");
}

// FIPS 180-4 (NIST 2015) with the published examples: the empty message and "abc".
TEST(Record, BytesAreNamedBySha256) {
  EXPECT_EQ(BlobId::of("").text(),
            "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  EXPECT_EQ(BlobId::of("abc").text(),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_EQ(*BlobId::parse(BlobId::of("abc").text()), BlobId::of("abc"));
  EXPECT_EQ(BlobId::parse("abc").failure().code, "blob.id");
  EXPECT_EQ(BlobId::parse(std::string(64, 'A')).failure().code, "blob.id");
}

// Two revisions are the same only when everything about them is.
TEST(Record, EqualityMissesNothing) {
  const Record one{.head = {.kind = Kind::kPart, .id = *RecordId::parse("a"), .at = at_ms(1)},
                   .document = "{}"};
  Record other = one;
  EXPECT_TRUE(one == other);
  other.document = "{ }";
  EXPECT_FALSE(one == other);
  other = one;
  other.head.by = "KB";
  EXPECT_FALSE(one == other);
  other = one;
  other.head.blob = BlobId::of("");
  EXPECT_FALSE(one == other);
}

}  // namespace
}  // namespace bight::records

#include "records/archive_json.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace bight::records {
namespace {

Bundle bundle() {
  Bundle out;
  for (const std::int64_t revision : {1, 2}) {
    out.revisions.push_back({.head = {.kind = Kind::kRun,
                                      .id = *RecordId::parse("r"),
                                      .revision = revision,
                                      .change = 10 * revision,
                                      .deed = revision == 1 ? Deed::kPut : Deed::kWithdraw,
                                      .content_of = revision,
                                      .at = Instant(std::chrono::milliseconds(1'772'359'200'123)),
                                      .by = "Jürg",
                                      .withdrawn = revision == 2,
                                      .part = *RecordId::parse("rail"),
                                      .blob = BlobId::of("x")},
                             .document = "{\"a\":[1,2.5,\"½\"]}"});
  }
  return out;
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  return at == std::string::npos ? text : text.replace(at, from.size(), to);
}

// Moments are those of ISO 8601 in UTC; 1772359200 s was worked out with date(1) of GNU coreutils.
TEST(ArchiveJson, Moments) {
  EXPECT_EQ(instant_text(bundle().revisions.front().head.at), "2026-03-01T10:00:00.123Z");
  EXPECT_EQ(instant_text(Instant{}), "1970-01-01T00:00:00.000Z");
  for (const std::int64_t ms : {0LL, 951'782'399'999LL, 253'402'300'799'999LL}) {
    const Instant at{std::chrono::milliseconds(ms)};
    EXPECT_EQ(*read_instant(instant_text(at)), at);
  }
  for (const char* bad :
       {"", "2026-03-01", "2026-02-29T00:00:00.000Z", "2026-03-01T24:00:00.000Z",
        "2026-03-01T10:60:00.000Z", "2026-03-01T10:00:60.000Z", "2026-13-01T10:00:00.000Z",
        "2026-03-01 10:00:00.000Z", "2026-03-01T10:00:00.000+", "1969-12-31T23:59:59.999Z"}) {
    EXPECT_EQ(read_instant(bad).failure().code, "archive.content") << bad;
  }
}

// A record comes back as it was, readable where its document is written the plain way.
TEST(ArchiveJson, BundlesLeadBack) {
  const std::string json = bundle_json(bundle());
  EXPECT_NE(json.find("\"document\": {"), std::string::npos);
  EXPECT_EQ(json.find("document_text"), std::string::npos);
  EXPECT_EQ(read_bundle(json, "x")->revisions, bundle().revisions);
}

// Documents that JSON could be written otherwise come back byte for byte.
TEST(ArchiveJson, DocumentsKeepTheirBytes) {
  for (const char* document :
       {"{}", " {}", "{\"a\": 1}", "{\"a\":1.50}", "{\"a\":1e400}", "{\"a\":1,\"a\":2}",
        "{\"a\":\"\\u00e9\\u0000\"}", "{\"z\":1,\"a\":{\"b\":null}}",
        "{\"a\":123456789012345678901}", "{\"a\":-0}", "{\"a\":-0.0}"}) {
    Bundle one = bundle();
    one.revisions.front().document = document;
    const auto back = read_bundle(bundle_json(one), "x");
    ASSERT_TRUE(back.ok()) << document << back.failure().text();
    EXPECT_EQ(back->revisions.front().document, document);
  }
}

// Whatever numbers and names a revision holds, it comes back.
RC_GTEST_PROP(ArchiveJsonProperty, AnyHeadLeadsBack, ()) {
  Bundle one = bundle();
  Revision& head = one.revisions.front().head;
  head.kind = static_cast<Kind>(*rc::gen::inRange(0, kNumKinds));
  one.revisions.back().head.kind = head.kind;
  head.change = *rc::gen::inRange<std::int64_t>(0, std::numeric_limits<std::int64_t>::max());
  head.at =
      Instant(std::chrono::milliseconds(*rc::gen::inRange<std::int64_t>(0, 253'402'300'799'999)));
  head.deed = static_cast<Deed>(*rc::gen::inRange(0, 4));
  head.withdrawn = *rc::gen::arbitrary<bool>();
  head.by = *rc::gen::container<std::string>(rc::gen::inRange(' ', '~'));
  if (*rc::gen::arbitrary<bool>()) head.part.reset();
  if (*rc::gen::arbitrary<bool>()) head.blob.reset();
  RC_ASSERT(read_bundle(bundle_json(one), "x")->revisions == one.revisions);
}

// What is not in the format is refused, in each place.
TEST(ArchiveJson, ForeignBundlesAreRefused) {
  const std::string sound = bundle_json(bundle());
  const std::vector<std::pair<std::string, std::string>> faults{
      {"\"kind\": \"run\"", "\"kind\": \"ship\""},
      {"\"kind\": \"run\"", "\"kind\": 5"},
      {"\"id\": \"r\"", "\"id\": \"../r\""},
      {"\"revisions\": [", "\"more\": 1, \"revisions\": ["},
      {"\"change\": 10", "\"change\": -10"},
      {"\"change\": 10", "\"change\": 1.5"},
      {"\"change\": 10", "\"change\": 9223372036854775808"},
      {"\"change\": 10", "\"changed\": 10"},
      {"\"deed\": \"put\"", "\"deed\": \"eat\""},
      {"\"withdrawn\": false", "\"withdrawn\": 0"},
      {"\"part\": \"rail\"", "\"part\": \"RAIL\""},
      {"\"part\": \"rail\"", "\"part\": 1"},
      {"\"by\": \"Jürg\"", "\"by\": null"},
      {"\"at\": \"2026", "\"at\": \"26"},
      {"\"document\":", "\"document_text\": \"{}\", \"document\":"},
      {"\"document\":", "\"documents\":"},
      {BlobId::of("x").text(), "abc"}};
  for (const auto& [from, to] : faults) {
    const auto read = read_bundle(replaced(sound, from, to), "records/run/r.json");
    ASSERT_FALSE(read.ok()) << to;
    EXPECT_EQ(read.failure().code, "archive.content") << to;
    EXPECT_TRUE(read.failure().where.starts_with("records/run/r.json") ||
                read.failure().where == "at");
  }
  for (const std::string& bad :
       {std::string(), std::string("{"), std::string("[]"), std::string("null"), std::string("{}"),
        std::string("{\"kind\":\"run\",\"id\":\"r\",\"revisions\":[]}"),
        std::string("{\"kind\":\"run\",\"id\":\"r\",\"revisions\":[1]}"),
        std::string("{\"kind\":\"run\",\"id\":\"r\",\"revisions\":5}"), std::string("{}\0", 3),
        std::string(100'000, '[')}) {
    EXPECT_EQ(read_bundle(bad, "x").failure().code, "archive.content");
  }
}

// The manifest comes back; a newer one is said to be newer even where it holds more.
TEST(ArchiveJson, Manifests) {
  const Manifest whole{
      .inventory = {.records = 1, .revisions = 2, .blobs = 3, .change = 4, .fingerprint = "f"}};
  EXPECT_EQ(read_manifest(manifest_json(whole))->inventory, whole.inventory);
  EXPECT_FALSE(read_manifest(manifest_json(whole))->part.has_value());
  const Manifest job{.part = *RecordId::parse("rail")};
  EXPECT_EQ(read_manifest(manifest_json(job))->part, job.part);
  const std::string text = manifest_json(whole);
  EXPECT_EQ(
      read_manifest(replaced(text, "\"schema\": 1", "\"schema\": 2, \"x\": 1")).failure().code,
      "archive.newer");
  for (const auto& [from, to] :
       std::vector<std::pair<std::string, std::string>>{{"bight-shop", "other"},
                                                        {"\"records\"", "\"record\""},
                                                        {"\"schema\": 1", "\"schema\": \"1\""},
                                                        {"\"blobs\": 3", "\"blobs\": \"3\""},
                                                        {"{", "["}}) {
    EXPECT_EQ(read_manifest(replaced(text, from, to)).failure().code, "archive.content") << to;
  }
  EXPECT_EQ(read_manifest("5").failure().code, "archive.content");
}

}  // namespace
}  // namespace bight::records

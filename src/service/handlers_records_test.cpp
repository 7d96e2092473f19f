#include "service/service_test_util.h"

namespace bight::service {
namespace {

using test::Json;
using test::rail;

class RecordsTest : public test::ServiceTest {};

TEST_F(RecordsTest, AddReadChangeUndo) {
  const Reply added = post("/records/part", {{"document", rail()}}, {{"x-bight-by", "K%C3%84"}});
  ASSERT_EQ(added.status, 201) << added.body;
  const Json record = json(added);
  const std::string id = record["id"];
  EXPECT_EQ(header(added, "ETag"), "\"r1\"");
  EXPECT_EQ(record["by"], "KÄ");
  EXPECT_EQ(record["document"], rail());
  Json changed = rail();
  changed["name"] = "Rail 2";
  const std::string at = "/records/part/" + id;
  const std::string body = Json{{"document", changed}}.dump();
  EXPECT_EQ(ask("PUT", at, body).status, 428);
  EXPECT_EQ(ask("PUT", at, body, {{"if-match", "r1"}}).status, 400);
  EXPECT_EQ(ask("PUT", at, body, {{"if-match", "\"r1\""}}).status, 200);
  const Reply late = ask("PUT", at, body, {{"if-match", "\"r1\""}});
  EXPECT_EQ(late.status, 412);
  EXPECT_EQ(code(late), "record.conflict");
  EXPECT_EQ(json(late)["present"]["revision"], 2);
  EXPECT_EQ(json(late)["present"]["document"]["name"], "Rail 2");
  const Reply undone = ask("POST", at + "/undo", "", {{"if-match", "\"r2\""}});
  EXPECT_EQ(json(undone)["document"]["name"], "Rail");
  EXPECT_EQ(json(ask("GET", at + "/revisions/2"))["document"]["name"], "Rail 2");
  EXPECT_EQ(json(ask("GET", at + "/history"))["history"].size(), 3u);
  EXPECT_EQ(ask("GET", at, "", {{"if-none-match", "\"r3\""}}).status, 304);
  EXPECT_EQ(ask("GET", at + "/revisions/9").status, 404);
  EXPECT_EQ(ask("GET", at + "/revisions/x").status, 404);
}

TEST_F(RecordsTest, TheSameWishTwiceIsWrittenOnce) {
  const std::map<std::string, std::string> key = {{"idempotency-key", "k1"}};
  const Reply first = post("/records/part", {{"document", rail()}}, key);
  const Reply again = post("/records/part", {{"document", rail()}}, key);
  EXPECT_EQ(json(first)["id"], json(again)["id"]);
  EXPECT_EQ(header(again, "X-Bight-Repeated"), "1");
  EXPECT_EQ(json(ask("GET", "/parts"))["total"], 1);
  EXPECT_EQ(code(post("/records/part", {{"document", {{"name", "x"}}}}, key)), "record.key");
}

TEST_F(RecordsTest, DraftsAreKeptAsTheyAre) {
  const Json draft =
      Json::parse(R"({"name": "half", "tube": {"size": "25 x"}, "x": [null, 1e-7]})");
  const Reply added = post("/records/part", {{"document", draft}});
  ASSERT_EQ(added.status, 201);
  EXPECT_EQ(json(added)["document"], draft);
}

TEST_F(RecordsTest, ListsSearchesAndWithdraws) {
  put("part", "a", rail());
  Json other = rail();
  other["name"] = "Pulpit";
  put("part", "b", other);
  EXPECT_EQ(json(ask("GET", "/parts?words=pulpit"))["parts"][0]["id"], "b");
  EXPECT_EQ(json(ask("GET", "/parts?limit=1"))["parts"].size(), 1u);
  EXPECT_EQ(json(ask("GET", "/parts?limit=1"))["total"], 2);
  ASSERT_EQ(ask("POST", "/records/part/b/withdraw", "", {{"if-match", "\"r1\""}}).status, 200);
  EXPECT_EQ(json(ask("GET", "/records/part"))["total"], 1);
  EXPECT_EQ(json(ask("GET", "/records/part?withdrawn=1"))["total"], 2);
  EXPECT_EQ(ask("POST", "/records/part/b/restore", "", {{"if-match", "\"r2\""}}).status, 200);
  EXPECT_EQ(ask("GET", "/parts?limit=-1").status, 400);
  EXPECT_EQ(ask("GET", "/parts?wrods=x").status, 400);
}

TEST_F(RecordsTest, WhatIsWrongIsSaid) {
  EXPECT_EQ(code(ask("GET", "/records/sofa")), "record.kind");
  EXPECT_EQ(code(ask("GET", "/records/part/A")), "record.id");
  EXPECT_EQ(code(ask("GET", "/records/part/a")), "record.none");
  EXPECT_EQ(code(post("/records/part", {{"doc", 1}})), "key.missing");
  EXPECT_EQ(code(post("/records/part", {{"document", 1}})), "key.missing");
  EXPECT_EQ(code(post("/records/part", {{"document", Json::object()}, {"x", 1}})), "key.unknown");
  EXPECT_EQ(code(post("/records/run", {{"document", Json::object()}, {"part", "zz"}})),
            "record.part");
  EXPECT_EQ(code(ask("POST", "/records/part/a/undo", "", {{"if-match", "\"r1\""}})), "record.none");
}

TEST_F(RecordsTest, BlobsAreServedHarmlessly) {
  const Reply kept = ask("POST", "/blobs", "<script>");
  ASSERT_EQ(kept.status, 201);
  const std::string id = json(kept)["id"];
  const Reply got = ask("GET", "/blobs/" + id + "?name=a%22b.html");
  EXPECT_EQ(got.body, "<script>");
  EXPECT_EQ(got.type, "application/octet-stream");
  EXPECT_EQ(header(got, "Content-Disposition"), "attachment; filename=\"a_b.html\"");
  EXPECT_EQ(ask("GET", "/blobs/" + id + "?type=text/html").status, 400);
  EXPECT_EQ(ask("GET", "/blobs/" + id + "?type=image/png").type, "image/png");
  EXPECT_EQ(ask("GET", "/blobs/" + std::string(64, '0')).status, 404);
}

TEST_F(RecordsTest, EventsTellWhatChangedSince) {
  put("part", "a", rail());
  const Reply stream = ask("GET", "/events?since=0");
  ASSERT_TRUE(stream.stream);
  std::string heard;
  bool end = false;
  Sink sink{[&](std::string_view text) {
              heard += text;
              end = heard.find("event: change") != std::string::npos;
              return true;
            },
            [&] { return end; }};
  stream.stream(sink);
  EXPECT_NE(heard.find("id: 1\nevent: change\ndata: {\"change\":1,\"kind\":\"part\",\"id\":\"a\""),
            std::string::npos)
      << heard;
}

}  // namespace
}  // namespace bight::service

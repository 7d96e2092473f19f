#include "service/request.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

namespace bight::service {
namespace {

std::string code_of(const std::string& body) {
  Request request;
  request.body = body;
  const auto read = read_body(request);
  return read.ok() ? "ok" : read.failure().code;
}

TEST(Request, BodiesAreOneObject) {
  EXPECT_EQ(code_of(""), "ok");
  EXPECT_EQ(code_of(R"({"a": [1, {"b": "]]]]"}]})"), "ok");
  EXPECT_EQ(code_of("[]"), "request.object");
  EXPECT_EQ(code_of("{"), "request.json");
  EXPECT_EQ(code_of("{\"a\": \"\xff\"}"), "request.json");
  EXPECT_EQ(code_of(std::string(100'000, '[')), "request.json");
  EXPECT_EQ(code_of("{\"a\":" + std::string(79, '[') + std::string(79, ']') + "}"), "ok");
  EXPECT_EQ(code_of("{\"a\":" + std::string(80, '[') + std::string(80, ']') + "}"), "request.json");
}

TEST(Request, QueriesAreChecked) {
  Request request;
  request.query = {{"n", "7"}, {"bad", "7x"}, {"word", "b"}};
  EXPECT_EQ(*asked_whole(request, "n", 1, 0, 10), 7);
  EXPECT_EQ(*asked_whole(request, "absent", 1, 0, 10), 1);
  EXPECT_EQ(asked_whole(request, "n", 1, 0, 6).failure().code, "request.query");
  EXPECT_EQ(asked_whole(request, "bad", 1, 0, 10).failure().code, "request.query");
  EXPECT_EQ(*asked_word(request, "word", {"a", "b"}), "b");
  EXPECT_EQ(*asked_word(request, "absent", {"a", "b"}), "a");
  EXPECT_EQ(asked_word(request, "word", {"a"}).failure().code, "request.query");
  EXPECT_TRUE(only_asked(request, {"n", "bad", "word"}).ok());
  EXPECT_EQ(only_asked(request, {"n"}).failure().where, "bad");
}

TEST(Request, PlacesInTablesAreCells) {
  const auto where = [](const std::string& text) {
    return complaint_json({"a.b", text, "", ""}).at("where").get<std::string>();
  };
  EXPECT_EQ(where("line.bends, bend 3"), "line.bends[2]");
  EXPECT_EQ(where("line.corners, corner 1"), "line.corners[0]");
  EXPECT_EQ(where("line.bends[2].angle"), "line.bends[2].angle");
}

TEST(Request, StatusOfFailures) {
  EXPECT_EQ(status_of("record.none"), 404);
  EXPECT_EQ(status_of("record.conflict"), 412);
  EXPECT_EQ(status_of("length.text"), 422);
  const Reply reply =
      failed(std::vector<base::Failure>{{"a.b", "x", "m", "r"}, {"c.d", "", "", ""}});
  EXPECT_EQ(reply.status, 422);
  const auto body = nlohmann::json::parse(reply.body);
  EXPECT_EQ(body["error"]["code"], "a.b");
  EXPECT_EQ(body["errors"].size(), 2u);
}

TEST(Request, StylesAndEscapes) {
  EXPECT_EQ(style_of("in/32", base::LengthUnit::kMillimetre)->denominator, 32);
  EXPECT_EQ(style_of("", base::LengthUnit::kInch)->unit, base::LengthUnit::kInch);
  for (const char* bad : {"in/7", "cm", "inch", "in/"}) {
    EXPECT_EQ(style_of(bad, base::LengthUnit::kInch).failure().code, "request.units") << bad;
  }
  EXPECT_EQ(decoded("a%20b%2"), "a b%2");
  EXPECT_EQ(decoded("%zz%41"), "%zzA");
}

}  // namespace
}  // namespace bight::service

#include "exchange/fields.h"

#include <gtest/gtest.h>

namespace bight::exchange {
namespace {

// A TOML text being read.
struct Reading {
  explicit Reading(const char* text, base::LengthRules rules = {})
      : document(parse_toml(text, "p.toml").value()), fields(document, rules) {}
  Document document;
  Fields fields;
};

TEST(Fields, ReadsLengthsInEveryForm) {
  Reading r("a = 38.1\nb = \"1-1/2 in\"\nc = \"3' 4-5/8\\\"\"\nd = 12");
  EXPECT_DOUBLE_EQ(*r.fields.length_mm("a"), 38.1);
  EXPECT_DOUBLE_EQ(*r.fields.length_mm("b"), 38.1);
  EXPECT_DOUBLE_EQ(*r.fields.length_mm("c"), 40.625 * 25.4);
  EXPECT_DOUBLE_EQ(*r.fields.length_mm("d"), 12);
  EXPECT_FALSE(r.fields.length_mm("absent").has_value());
  EXPECT_TRUE(r.fields.status().ok());
}

TEST(Fields, BareNumbersFollowTheFilesUnit) {
  Reading r("a = 1.5", {.default_unit = base::LengthUnit::kInch});
  EXPECT_DOUBLE_EQ(*r.fields.length_mm("a"), 38.1);
}

TEST(Fields, ReadsAngles) {
  Reading r("a = 90\nb = \"67d30'\"");
  EXPECT_NEAR(r.fields.angle("a")->deg(), 90, 1e-12);
  EXPECT_NEAR(r.fields.angle("b")->deg(), 67.5, 1e-12);
}

// Every complaint names file, line and key, and says what would be right.
TEST(Fields, ComplaintsNameThePlace) {
  const struct {
    const char* text;
    void (*read)(Fields&);
    const char* code;
    const char* where;
  } cases[] = {
      {"a = 1\nb = \"large\"", [](Fields& f) { f.length_mm("b"); }, "length.text", "p.toml:2: b"},
      {"b = \"12,5 mm\"", [](Fields& f) { f.length_mm("b"); }, "length.comma", "p.toml:1: b"},
      {"b = nan", [](Fields& f) { f.length_mm("b"); }, "length.range", "p.toml:1: b"},
      {"b = true", [](Fields& f) { f.length_mm("b"); }, "key.type", "p.toml:1: b"},
      {"b = inf", [](Fields& f) { f.number("b"); }, "key.value", "p.toml:1: b"},
      {"b = inf", [](Fields& f) { f.angle("b"); }, "angle.range", "p.toml:1: b"},
      {"b = \"90x\"", [](Fields& f) { f.angle("b"); }, "angle.unit", "p.toml:1: b"},
      {"b = 3", [](Fields& f) { f.text("b"); }, "key.type", "p.toml:1: b"},
      {"b = 3.5", [](Fields& f) { f.whole("b"); }, "key.type", "p.toml:1: b"},
      {"b = 1", [](Fields& f) { f.flag("b"); }, "key.type", "p.toml:1: b"},
      {"b = [1, 2]", [](Fields& f) { f.texts("b"); }, "key.type", "p.toml:1: b[1]"},
      {"b = 1", [](Fields& f) { f.table("b"); }, "key.type", "p.toml:1: b"},
      {"b = [1]", [](Fields& f) { f.tables("b"); }, "key.type", "p.toml:1: b"},
      {"b = \"x\"",
       [](Fields& f) {
         f.choice("b", {"mm", "in"});
       },
       "key.value", "p.toml:1: b"},
      {"b = [[1, 2]]", [](Fields& f) { f.length_rows_mm("b", 3, 10); }, "key.value",
       "p.toml:1: b[1]"},
      {"b = [[1, 2, 3], [4, 5, 6]]", [](Fields& f) { f.length_rows_mm("b", 3, 1); }, "key.value",
       "p.toml:1: b"},
      {"a = 1", [](Fields& f) { f.need_text("b"); }, "key.missing", "p.toml:1: b"},
      {"a = 1\nmisspelt = 2", [](Fields& f) { f.number("a"), f.no_others(); }, "key.unknown",
       "p.toml:2: misspelt"},
  };
  for (const auto& c : cases) {
    Reading r(c.text);
    c.read(r.fields);
    ASSERT_FALSE(r.fields.status().ok()) << c.text;
    EXPECT_EQ(r.fields.status().failure().code, c.code) << c.text;
    EXPECT_EQ(r.fields.status().failure().where, c.where) << c.text;
    EXPECT_FALSE(r.fields.status().failure().remedy.empty()) << c.text;
  }
}

// The first thing wrong is the one reported.
TEST(Fields, FirstComplaintIsKept) {
  Reading r("a = true\nb = true");
  r.fields.length_mm("a");
  r.fields.length_mm("b");
  EXPECT_EQ(r.fields.status().failure().where, "p.toml:1: a");
}

// The same complaint about a document that was never a text is the key path alone, counted from
// zero; in a file it has the line, and counts from one as people do.
TEST(Fields, PlacesInDocuments) {
  const char* const text =
      "[line]\nbends = [{ straight = 1 }, { straight = \"x\" }]\n"
      "corners = [[0, 0, 0],\n[0, true, 0]]\n";
  const Document file = parse_toml(text, "p.toml").value();
  const Document bare = document_of(file.value, "part");
  const auto straight = [](const Document& document) {
    Fields top(document);
    Fields line = *top.table("line");
    for (Fields& bend : line.tables("bends")) {
      bend.length_mm("straight");
      line.adopt(bend);
    }
    return line.status().failure().where;
  };
  const auto corners = [](const Document& document) {
    Fields top(document);
    Fields line = *top.table("line");
    line.length_rows_mm("corners", 3, 9);
    return line.status().failure().where;
  };
  EXPECT_EQ(straight(file), "p.toml:2: line.bends[2].straight");
  EXPECT_EQ(straight(bare), "line.bends[1].straight");
  EXPECT_EQ(corners(file), "p.toml:4: line.corners[2][2]");
  EXPECT_EQ(corners(bare), "line.corners[1][1]");
  Fields missing(bare);
  missing.need_text("tube");
  EXPECT_EQ(missing.status().failure().where, "tube");
}

// A document may be any JSON: no table at all, null, whole numbers beyond a long, odd keys.
TEST(Fields, AnyJson) {
  for (const char* text : {"[]", "3", "null", "\"x\""}) {
    const Document document = document_of(nlohmann::ordered_json::parse(text), "part");
    Fields fields(document);
    EXPECT_EQ(fields.status().failure().code, "key.type") << text;
    EXPECT_FALSE(fields.has("a"));
  }
  const Document document = document_of(
      nlohmann::ordered_json::parse(R"({"a": null, "b": 18446744073709551615, "c/d~": 1})"), "p");
  Fields fields(document);
  EXPECT_FALSE(fields.text("a").has_value());
  EXPECT_EQ(fields.status().failure().code, "key.type");
  EXPECT_FALSE(fields.whole("b").has_value());
  EXPECT_EQ(fields.number("b"), 18446744073709551615.0);
  EXPECT_EQ(fields.whole("c/d~"), 1);
  EXPECT_EQ(fields.where("c/d~"), "c/d~");
}

// schema, units and decimal_mark set how lengths are read; a newer schema is refused by its code.
TEST(Fields, Rules) {
  Reading r("schema = 1\nunits = \"in\"\ndecimal_mark = \"comma\"\na = \"1,5\"");
  EXPECT_TRUE(read_rules(r.fields, "x.schema").ok());
  EXPECT_DOUBLE_EQ(*r.fields.length_mm("a"), 38.1);
  Reading newer("schema = 2");
  EXPECT_EQ(read_rules(newer.fields, "x.schema").failure().code, "x.schema");
}

}  // namespace
}  // namespace bight::exchange

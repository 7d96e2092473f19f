#include "exchange/toml_fields.h"

#include <gtest/gtest.h>

#include <cstdio>
#include <fstream>

namespace bight::exchange {
namespace {

// A table read with a failure already or not, from text.
struct Reading {
  explicit Reading(const char* text, base::LengthRules rules = {})
      : table(parse_toml(text, "p.toml").value()), fields(table, {"p.toml", rules}, "") {}
  toml::table table;
  TomlFields fields;
};

TEST(TomlFields, ReadsLengthsInEveryForm) {
  Reading r("a = 38.1\nb = \"1-1/2 in\"\nc = \"3' 4-5/8\\\"\"\nd = 12");
  EXPECT_DOUBLE_EQ(*r.fields.length_mm("a"), 38.1);
  EXPECT_DOUBLE_EQ(*r.fields.length_mm("b"), 38.1);
  EXPECT_DOUBLE_EQ(*r.fields.length_mm("c"), 40.625 * 25.4);
  EXPECT_DOUBLE_EQ(*r.fields.length_mm("d"), 12);
  EXPECT_FALSE(r.fields.length_mm("absent").has_value());
  EXPECT_TRUE(r.fields.status().ok());
}

TEST(TomlFields, BareNumbersFollowTheFilesUnit) {
  Reading r("a = 1.5", {.default_unit = base::LengthUnit::kInch});
  EXPECT_DOUBLE_EQ(*r.fields.length_mm("a"), 38.1);
}

TEST(TomlFields, ReadsAngles) {
  Reading r("a = 90\nb = \"67d30'\"");
  EXPECT_NEAR(r.fields.angle("a")->deg(), 90, 1e-12);
  EXPECT_NEAR(r.fields.angle("b")->deg(), 67.5, 1e-12);
}

// Every complaint names file, line and key, and says what would be right.
TEST(TomlFields, ComplaintsNameThePlace) {
  const struct {
    const char* text;
    void (*read)(TomlFields&);
    const char* code;
    const char* where;
  } cases[] = {
      {"a = 1\nb = \"large\"", [](TomlFields& f) { f.length_mm("b"); }, "length.text",
       "p.toml:2: b"},
      {"b = \"12,5 mm\"", [](TomlFields& f) { f.length_mm("b"); }, "length.comma", "p.toml:1: b"},
      {"b = nan", [](TomlFields& f) { f.length_mm("b"); }, "length.range", "p.toml:1: b"},
      {"b = true", [](TomlFields& f) { f.length_mm("b"); }, "key.type", "p.toml:1: b"},
      {"b = inf", [](TomlFields& f) { f.number("b"); }, "key.value", "p.toml:1: b"},
      {"b = inf", [](TomlFields& f) { f.angle("b"); }, "angle.range", "p.toml:1: b"},
      {"b = \"90x\"", [](TomlFields& f) { f.angle("b"); }, "angle.unit", "p.toml:1: b"},
      {"b = 3", [](TomlFields& f) { f.text("b"); }, "key.type", "p.toml:1: b"},
      {"b = 3.5", [](TomlFields& f) { f.whole("b"); }, "key.type", "p.toml:1: b"},
      {"b = 1", [](TomlFields& f) { f.flag("b"); }, "key.type", "p.toml:1: b"},
      {"b = [1, 2]", [](TomlFields& f) { f.texts("b"); }, "key.type", "p.toml:1: b"},
      {"b = 1", [](TomlFields& f) { f.table("b"); }, "key.type", "p.toml:1: b"},
      {"b = [1]", [](TomlFields& f) { f.tables("b"); }, "key.type", "p.toml:1: b"},
      {"b = \"x\"",
       [](TomlFields& f) {
         f.choice("b", {"mm", "in"});
       },
       "key.value", "p.toml:1: b"},
      {"b = [[1, 2]]", [](TomlFields& f) { f.length_rows_mm("b", 3, 10); }, "key.value",
       "p.toml:1: b"},
      {"b = [[1, 2, 3], [4, 5, 6]]", [](TomlFields& f) { f.length_rows_mm("b", 3, 1); },
       "key.value", "p.toml:1: b"},
      {"a = 1", [](TomlFields& f) { f.need_text("b"); }, "key.missing", "p.toml:1: b"},
      {"a = 1\nmisspelt = 2", [](TomlFields& f) { f.number("a"), f.no_others(); }, "key.unknown",
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
TEST(TomlFields, FirstComplaintIsKept) {
  Reading r("a = true\nb = true");
  r.fields.length_mm("a");
  r.fields.length_mm("b");
  EXPECT_EQ(r.fields.status().failure().where, "p.toml:1: a");
}

TEST(ParseToml, SyntaxErrorsNameLineAndColumn) {
  const auto broken = parse_toml("a = 1\nb = = 2\n", "p.toml");
  EXPECT_EQ(broken.failure().code, "toml.syntax");
  EXPECT_EQ(broken.failure().where.substr(0, 9), "p.toml:2:");
  EXPECT_EQ(parse_toml(" \n", "p.toml").failure().code, "toml.empty");
  EXPECT_EQ(parse_toml(std::string(2u << 20, ' '), "p.toml").failure().code, "file.size");
}

TEST(ReadTextFile, RefusesWhatIsNoFileOfOurs) {
  EXPECT_EQ(read_text_file("no/such/file").failure().code, "file.missing");
  EXPECT_EQ(read_text_file("/").failure().code, "file.read");
  const std::string path = ::testing::TempDir() + "large.toml";
  std::ofstream(path) << std::string(10'000'000, 'x');
  EXPECT_EQ(read_text_file(path).failure().code, "file.size");
  std::remove(path.c_str());
}

}  // namespace
}  // namespace bight::exchange

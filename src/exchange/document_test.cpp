#include "exchange/document.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

namespace bight::exchange {
namespace {

// Every kind of value, in the order written, whatever the order of sections.
TEST(ParseToml, KeepsValuesAndTheirOrder) {
  const Document document = parse_toml(R"(
zeta = "é ½"
alpha = [1, 2.5, "3/4 in", true]
day = 2024-05-01
"quoted key/~" = 'x'
inline = { b = 1, a = 2 }
[tube.certificate]
n = 0.2
[tube]
wall = 1.5
[[die]]
name = "one"
[[die]]
name = "two"
)",
                                       "p.toml")
                                .value();
  EXPECT_EQ(document.value.dump(),
            R"({"zeta":"é ½","alpha":[1,2.5,"3/4 in",true],"day":"2024-05-01","quoted key/~":"x",)"
            R"("inline":{"b":1,"a":2},"tube":{"certificate":{"n":0.2},"wall":1.5},)"
            R"("die":[{"name":"one"},{"name":"two"}]})");
  EXPECT_EQ(document.lines.at("/zeta"), 2);
  EXPECT_EQ(document.lines.at("/quoted key~1~0"), 5);
  EXPECT_EQ(document.lines.at("/tube/wall"), 10);
  EXPECT_EQ(document.lines.at("/die/1/name"), 14);
  EXPECT_EQ(document.name, "p.toml");
}

TEST(ParseToml, SyntaxErrorsNameLineAndColumn) {
  const auto broken = parse_toml("a = 1\nb = = 2\n", "p.toml");
  EXPECT_EQ(broken.failure().code, "toml.syntax");
  EXPECT_EQ(broken.failure().where.substr(0, 9), "p.toml:2:");
  EXPECT_EQ(parse_toml("[)", "p.toml").failure().code, "toml.syntax");
  EXPECT_EQ(parse_toml("[.n\x7f", "p.toml").failure().code, "toml.syntax");
  EXPECT_EQ(parse_toml(" \n", "p.toml").failure().code, "toml.empty");
  EXPECT_EQ(parse_toml(std::string(2u << 20, ' '), "p.toml").failure().code, "file.size");
}

// Characters beyond ASCII belong in quotes and comments; elsewhere they are named with their line.
// The TOML library reached code it calls unreachable on some of them.
TEST(ParseToml, ForeignCharactersOutsideQuotes) {
  EXPECT_EQ(parse_toml("\u02E9", "p.toml").failure().code, "toml.syntax");
  EXPECT_EQ(parse_toml("a = 1\nb = \u201Cx\u201D", "p.toml").failure().where, "p.toml:2");
  for (const char* fine : {"a = \"67°\"", "a = '°'", "# °\na = 1", "a = \"\"\"x\n°\"\"\"",
                           "\uFEFFa = 1", "a = '''°'''", "a = \"\\\"°\""}) {
    EXPECT_TRUE(parse_toml(fine, "p.toml").ok()) << fine;
  }
}

// Columns count characters as they stand in the file, foreign ones as one.
TEST(ParseToml, ColumnsCountCharacters) {
  EXPECT_EQ(parse_toml("a = \"xxx\" b", "p").failure().where,
            parse_toml("a = \"½°é\" b", "p").failure().where);
}

// What is too large or too deep is refused before it can hold up or end the program.
TEST(ParseToml, LimitsHold) {
  const auto code = [](const std::string& text) { return parse_toml(text, "p").failure().code; };
  std::string keys;
  for (std::size_t i = 0; i <= kMostKeysInATable; ++i) keys += fmt::format("k{} = 1\n", i);
  EXPECT_EQ(code(keys), "file.size");
  std::string values = "a = [";
  for (std::size_t i = 0; i <= kMostValues; ++i) values += "1,";
  EXPECT_EQ(code(values + "]"), "file.size");
  EXPECT_EQ(code("a = " + std::string(1000, '[') + std::string(1000, ']')), "toml.syntax");
  std::string parts = "a";
  for (int i = 0; i < 100000; ++i) parts += ".a";
  EXPECT_EQ(code(parts + " = 1"), "toml.syntax");
  EXPECT_EQ(code("[" + parts + "]"), "toml.syntax");
}

// A table added to an empty list, and inputs that once led the library into undefined behaviour.
TEST(ParseToml, NoBytesEndTheProgram) {
  for (const std::string& text :
       {std::string("a = []\n[a.b]\nc = 1"), std::string("f=2fn'f{\xEF\xB4\xBF\x41"),
        std::string("\"\"\"=3\0\x02\"\"\"\"l\"'DDD\xC3\xBB\x44\x44'''l'DD::'\r\nlD'\r\n'l'D'DD",
                    41),
        std::string("a = \xFF")}) {
    EXPECT_EQ(parse_toml(text, "p").failure().code, "toml.syntax") << text;
  }
}

// Brackets closed by the wrong one, wherever they are cut off: the parser's assertions ended the
// program once.
TEST(ParseToml, WrongBracketsAreSyntax) {
  for (const char* text :
       {"a = [0,}0\n", "a = [}", "a = ]", "a = [[0,}0", "a = {b = }", "a = {b = ,c = 1}",
        "a = [\n#x\n}", "a = [1", "a = {", "[[", "[a", "="}) {
    const auto document = parse_toml(text, "f");
    ASSERT_FALSE(document.ok()) << text;
    EXPECT_EQ(document.failure().code, "toml.syntax") << text;
  }
}

// RFC 6901, section 3: "~" and "/" in a token are written "~0" and "~1".
TEST(PointerToReference, Escapes) {
  EXPECT_EQ(pointer_to("/a", "b/c~d"), "/a/b~1c~0d");
  EXPECT_EQ(pointer_to("/a", std::size_t{3}), "/a/3");
}

}  // namespace
}  // namespace bight::exchange

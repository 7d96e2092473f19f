#include "exchange/toml_guard.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>

#include "exchange/utf8.h"

namespace bight::exchange {
namespace {

// Whatever characters stand in quotes come back, and the library sees none of them; also where the
// text holds what looks like a mark.
RC_GTEST_PROP(TomlGuardProperty, CharactersComeBack, ()) {
  std::string text = "# Z000000Q Z000001Q0000e9\na = \"";
  const auto inside = *rc::gen::container<std::vector<int>>(rc::gen::inRange(0x20, 0x10FFFF));
  for (const int c : inside) {
    const bool surrogate = c >= 0xD800 && c < 0xE000;
    if (!surrogate && c != '"' && c != '\\') append_utf8(text, static_cast<char32_t>(c));
  }
  text += "\"";
  const auto guarded = guard_toml(text, "p");
  RC_ASSERT(guarded.ok());
  RC_ASSERT(std::all_of(guarded->ascii.begin(), guarded->ascii.end(),
                        [](char c) { return static_cast<unsigned char>(c) < 0x80; }));
  RC_ASSERT(unguarded(guarded->ascii, guarded->mark) == text);
}

// What only looks like a character behind the mark stays as it is.
TEST(TomlGuard, MarksThatAreNone) {
  for (const char* text : {"Z000000Q", "Z000000Q00", "Z000000Q00d800", "Z000000Q110000",
                           "Z000000Q000041", "Z000000Qxyzxyz"}) {
    EXPECT_EQ(unguarded(text, "Z000000Q"), text);
  }
}

// Quotes within long texts, up to two before the closing three, do not confuse what is outside.
TEST(TomlGuard, KnowsWhatIsQuoted) {
  for (const char* fine : {"a = \"\"\"x\"\"\"\"\"\nb = \"°\"", "a = ''''°'''''",
                           "a = \"\\\"°\" # °", "a = '\\'\nb = \"°\"", "\uFEFFa = 1"}) {
    EXPECT_TRUE(guard_toml(fine, "p").ok()) << fine;
  }
  for (const char* wrong : {"é = 1", "a = 1 °", "a = '''x''' °", "a = \"x\"°"}) {
    EXPECT_EQ(guard_toml(wrong, "p").failure().code, "toml.syntax") << wrong;
  }
  EXPECT_EQ(guard_toml("a = 1\nb = \"\xE9\"", "p").failure().where, "p:2");
  EXPECT_EQ(guard_toml("a = 1\nb = \"\xE9\"", "p").failure().message, "the text is not in UTF-8");
}

// Depth is counted outside quotes; numbers with points on one line are no long key.
TEST(TomlGuard, Depth) {
  EXPECT_TRUE(
      guard_toml("a = \"" + std::string(5000, '.') + std::string(5000, '[') + "\"", "p").ok());
  std::string row = "a = [";
  for (int i = 0; i < 500; ++i) row += "1.5, ";
  EXPECT_TRUE(guard_toml(row + "]", "p").ok());
  EXPECT_FALSE(guard_toml("a.b.c.d.e.f.g.h.i = 1", "p").ok());
  EXPECT_FALSE(guard_toml("a = " + std::string(40, '{'), "p").ok());
}

}  // namespace
}  // namespace bight::exchange

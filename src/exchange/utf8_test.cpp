#include "exchange/utf8.h"

#include <gtest/gtest.h>

namespace bight::exchange {
namespace {

// Every character of Unicode comes back from its bytes, as many bytes as RFC 3629, section 3 says.
TEST(Utf8Reference, EveryCharacterComesBack) {
  for (char32_t c = 0; c <= 0x10FFFF; ++c) {
    if (c >= 0xD800 && c < 0xE000) continue;
    std::string text;
    append_utf8(text, c);
    std::size_t at = 0;
    ASSERT_EQ(next_utf8(text, at), c);
    ASSERT_EQ(at, text.size());
    ASSERT_EQ(text.size(), c < 0x80 ? 1u : c < 0x800 ? 2u : c < 0x10000 ? 3u : 4u);
  }
}

// RFC 3629, section 3 and 10: overlong forms, surrogates, beyond the last, cut off, stray bytes.
TEST(Utf8Reference, WhatIsNoCharacter) {
  for (const char* bytes : {"\xC0\x80", "\xE0\x80\x80", "\xED\xA0\x80", "\xF4\x90\x80\x80",
                            "\xF5\x80\x80\x80", "\x80", "\xC3", "\xE2\x82", "\xC3("}) {
    std::size_t at = 0;
    EXPECT_EQ(next_utf8(bytes, at), kNoCharacter) << bytes;
    EXPECT_EQ(at, 0u);
  }
}

}  // namespace
}  // namespace bight::exchange

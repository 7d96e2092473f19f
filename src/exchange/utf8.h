// Characters to and from UTF-8.
#pragma once

#include <string>
#include <string_view>

namespace bight::exchange {

inline constexpr char32_t kNoCharacter = 0xFFFFFFFF;

// The character that starts at `at`, moving past it; kNoCharacter where the bytes are not UTF-8
// (overlong forms, surrogates and cut-off sequences among them), then `at` stays.
// @pre at < text.size().
char32_t next_utf8(std::string_view text, std::size_t& at);

// @pre c is a character: below 0x110000 and no surrogate.
void append_utf8(std::string& out, char32_t c);

}  // namespace bight::exchange

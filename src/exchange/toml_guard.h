// What a TOML text must be before the library that parses it may see it.
#pragma once

#include <string>
#include <string_view>

#include "base/result.h"

namespace bight::exchange {

// A text of ASCII characters alone: every other character is written as a mark that the text does
// not hold and six hexadecimal digits.
struct GuardedToml {
  std::string ascii;
  std::string mark;
};

// No table or list of ours lies deeper, no key has more parts.
inline constexpr int kDeepestBrackets = 32;
inline constexpr int kMostKeyParts = 8;

// The text made safe to parse: the library reaches code it calls unreachable on some characters,
// and ends the program on keys of a few thousand parts. A byte order mark is left out.
// Failure codes: toml.syntax (not UTF-8, characters beyond ASCII outside quotes and comments,
// nested too deep), with the line.
base::Result<GuardedToml> guard_toml(std::string_view text, const std::string& file);

// The text with its own characters again.
std::string unguarded(std::string_view ascii, const std::string& mark);

}  // namespace bight::exchange

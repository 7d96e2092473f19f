// What texts the store takes in, so that both databases can hold each of them exactly.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "base/result.h"

namespace bight::records {

// Who changed a record: initials, or a name.
inline constexpr std::size_t kLongestWho = 32;

// One JSON object in UTF-8 (RFC 8259), at most kLargestDocument bytes and kDeepestDocument deep.
// Failure codes: record.document.
base::Status check_document(std::string_view text);

// UTF-8 without control characters, at most `longest` bytes. `what` names it for people.
// Failure codes: record.text.
base::Status check_text(std::string_view what, std::string_view text, std::size_t longest);

// The text with everything check_text would refuse, length apart, turned into spaces.
std::string cleaned(std::string_view text);

// How deep brackets stand inside one another, whether or not the rest is JSON.
int nesting(std::string_view json);

}  // namespace bight::records

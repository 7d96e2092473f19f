// Text as search compares it.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace bight::records {

// Without capitals, accents and the difference between wide and narrow forms (Unicode 14,
// compatibility decomposition, case folding), white space as single spaces, a comma between digits
// as a point, the fraction bar as a slash. Text that is not UTF-8 becomes empty.
std::string folded(std::string_view text);

// The words of a query, folded, the longest first, each once.
std::vector<std::string> folded_words(std::string_view query);

// Whether the folded `word` stands in the folded `text`. It may start anywhere, but a number only
// where a number starts: "8.1" is not found in "38.1", "114" is found in clr114.3.
bool has_word(std::string_view text, std::string_view word);

}  // namespace bight::records

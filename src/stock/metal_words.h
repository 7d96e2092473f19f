// The words that metals are named by, and comparing what somebody typed with them.
#pragma once

#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace bight::stock {

// Letters and digits only, in small letters: "E235 + N" and "e235n" are the same.
std::string squeezed(std::string_view text);

// Words of letters and digits, in small letters; a point inside a number does not part it.
std::vector<std::string> words_of(std::string_view text);

// Words that may stand in a query without saying anything: "tube", "grade", "AISI".
const std::set<std::string>& filler_words();

// The words of a text and other words for them ("aluminum" for "aluminium").
std::set<std::string> words_and_synonyms(std::string_view text);

// Whether the squeezed query can be cut into known words ("6061t6" is 6061 and t6).
bool made_of(const std::string& query, const std::set<std::string>& words);

// How well a query's word fits the best of some words: 3 the same, 2 one begins the other, 1 one
// letter off, 0 nothing. Words below three letters fit only exactly.
int likeness(const std::string& word, const std::set<std::string>& words);

}  // namespace bight::stock

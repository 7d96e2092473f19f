#include "stock/metal_words.h"

#include <algorithm>
#include <map>

namespace bight::stock {

namespace {

bool digit(char c) { return c >= '0' && c <= '9'; }

bool letter_or_digit(char c) {
  return digit(c) || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

// Words for words of the table.
const std::multimap<std::string, std::string>& synonyms() {
  static const std::multimap<std::string, std::string> table = {
      {"aluminium", "aluminum"},    {"aluminium", "alu"},  {"aluminium", "al"}, {"stainless", "ss"},
      {"stainless", "inox"},        {"copper", "cu"},      {"titanium", "ti"},  {"nickel", "ni"},
      {"normalised", "normalized"}, {"relieved", "relief"}};
  return table;
}

// Whether one letter was left out, put in or exchanged.
bool one_slip_apart(const std::string& a, const std::string& b) {
  const auto [from_front, in_b] = std::mismatch(a.begin(), a.end(), b.begin(), b.end());
  const auto rest_a = static_cast<std::size_t>(a.end() - from_front);
  const auto rest_b = static_cast<std::size_t>(b.end() - in_b);
  const std::string tail_a(from_front, a.end());
  const std::string tail_b(in_b, b.end());
  if (rest_a == rest_b) return rest_a == 0 || tail_a.substr(1) == tail_b.substr(1);
  if (rest_a == rest_b + 1) return tail_a.substr(1) == tail_b;
  return rest_a + 1 == rest_b && tail_a == tail_b.substr(1);
}

}  // namespace

std::string squeezed(std::string_view text) {
  std::string kept;
  for (const char c : text) {
    if (letter_or_digit(c)) kept += lower(c);
  }
  return kept;
}

std::vector<std::string> words_of(std::string_view text) {
  std::vector<std::string> words(1);
  for (std::size_t at = 0; at < text.size(); ++at) {
    const char c = text[at];
    const bool inside_number =
        c == '.' && at > 0 && digit(text[at - 1]) && at + 1 < text.size() && digit(text[at + 1]);
    if (inside_number) continue;
    if (letter_or_digit(c)) {
      words.back() += lower(c);
    } else if (!words.back().empty()) {
      words.emplace_back();
    }
  }
  if (words.back().empty()) words.pop_back();
  return words;
}

const std::set<std::string>& filler_words() {
  static const std::set<std::string> words = {"tube", "pipe", "metal", "alloy", "grade", "gr",
                                              "type", "aisi", "sae",   "astm",  "en",    "din"};
  return words;
}

std::set<std::string> words_and_synonyms(std::string_view text) {
  std::set<std::string> words;
  for (const std::string& word : words_of(text)) {
    words.insert(word);
    const auto [from, to] = synonyms().equal_range(word);
    for (auto entry = from; entry != to; ++entry) words.insert(entry->second);
  }
  return words;
}

bool made_of(const std::string& query, const std::set<std::string>& words) {
  std::vector<bool> reached(query.size() + 1, false);
  reached[0] = true;
  for (std::size_t at = 0; at < query.size(); ++at) {
    if (!reached[at]) continue;
    for (const std::string& word : words) {
      if (query.compare(at, word.size(), word) == 0) reached[at + word.size()] = true;
    }
  }
  return reached[query.size()];
}

int likeness(const std::string& word, const std::set<std::string>& words) {
  if (words.count(word) != 0) return 3;
  int most = 0;
  for (const std::string& known : words) {
    const std::size_t common = std::min(word.size(), known.size());
    if (common >= 3 && word.compare(0, common, known, 0, common) == 0) most = std::max(most, 2);
    if (common >= 3 && one_slip_apart(word, known)) most = std::max(most, 1);
  }
  return most;
}

}  // namespace bight::stock

#include "records/folding.h"

#include <utf8proc.h>

#include <algorithm>
#include <cstdlib>
#include <cstring>

namespace bight::records {

namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }

std::string decomposed(std::string_view text) {
  utf8proc_uint8_t* out = nullptr;
  const utf8proc_ssize_t length = utf8proc_map(
      reinterpret_cast<const utf8proc_uint8_t*>(text.data()),
      static_cast<utf8proc_ssize_t>(text.size()), &out,
      static_cast<utf8proc_option_t>(UTF8PROC_STABLE | UTF8PROC_COMPAT | UTF8PROC_DECOMPOSE |
                                     UTF8PROC_CASEFOLD | UTF8PROC_STRIPMARK));
  std::string result;
  if (length > 0) result.assign(reinterpret_cast<char*>(out), static_cast<std::size_t>(length));
  std::free(out);
  return result;
}

}  // namespace

std::string folded(std::string_view text) {
  // U+2044, the bar inside ½ taken apart.
  constexpr std::string_view kFractionBar = "\xe2\x81\x84";
  const std::string wide = decomposed(text);
  std::string out;
  out.reserve(wide.size());
  for (std::size_t i = 0; i < wide.size(); ++i) {
    const char c = wide[i];
    if (static_cast<unsigned char>(c) <= 0x20) {
      if (!out.empty() && out.back() != ' ') out += ' ';
    } else if (c == ',' && !out.empty() && is_digit(out.back()) && i + 1 < wide.size() &&
               is_digit(wide[i + 1])) {
      out += '.';
    } else if (wide.compare(i, kFractionBar.size(), kFractionBar) == 0) {
      out += '/';
      i += kFractionBar.size() - 1;
    } else {
      out += c;
    }
  }
  if (!out.empty() && out.back() == ' ') out.pop_back();
  return out;
}

std::vector<std::string> folded_words(std::string_view query) {
  const std::string text = folded(query);
  std::vector<std::string> words;
  for (std::size_t start = 0; start < text.size();) {
    const std::size_t end = std::min(text.find(' ', start), text.size());
    if (end > start) words.push_back(text.substr(start, end - start));
    start = end + 1;
  }
  // The longest is the rarest, most often.
  std::sort(words.begin(), words.end(), [](const std::string& a, const std::string& b) {
    return a.size() != b.size() ? a.size() > b.size() : a < b;
  });
  words.erase(std::unique(words.begin(), words.end()), words.end());
  return words;
}

bool has_word(std::string_view text, std::string_view word) {
  if (word.empty()) return true;
  const bool number = is_digit(word.front());
  for (std::size_t from = 0; from < text.size();) {
    const void* hit = ::memmem(text.data() + from, text.size() - from, word.data(), word.size());
    if (hit == nullptr) return false;
    const auto at = static_cast<std::size_t>(static_cast<const char*>(hit) - text.data());
    if (!number || at == 0) return true;
    const char before = text[at - 1];
    if (!is_digit(before) && before != '.') return true;
    from = at + 1;
  }
  return false;
}

}  // namespace bight::records

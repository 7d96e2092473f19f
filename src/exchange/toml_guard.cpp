#include "exchange/toml_guard.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <set>

#include "exchange/utf8.h"

namespace bight::exchange {

using base::Failure;

namespace {

constexpr std::size_t kHexDigits = 6;
constexpr std::size_t kMarkDigits = 6;

bool beyond_ascii(char c) { return (static_cast<unsigned char>(c) & 0x80) != 0; }

Failure syntax(std::string_view text, std::size_t at, const std::string& file, std::string message,
               std::string remedy) {
  const std::string_view before = text.substr(0, at);
  const auto line = 1 + std::count(before.begin(), before.end(), '\n');
  return {"toml.syntax", fmt::format("{}:{}", file, line), std::move(message), std::move(remedy)};
}

// Walks a TOML text and knows what is quoted, commented and nested. It agrees with any parser up to
// the first mistake in the text, and no further need.
class Walk {
 public:
  explicit Walk(std::string_view text) : text_(text) {}

  bool done() const { return at_ >= text_.size(); }
  std::size_t at() const { return at_; }
  bool plain() const { return in_ == In::kPlain; }
  int brackets() const { return brackets_; }
  int dots() const { return dots_; }

  // Takes the character at at() in.
  void step() {
    const char c = text_[at_];
    if (in_ == In::kPlain) {
      step_plain(c);
    } else if ((in_ == In::kBasic || in_ == In::kLongBasic) && c == '\\') {
      at_ += 2;
      return;
    } else if (in_ == In::kLongBasic || in_ == In::kLongLiteral) {
      const char quote = in_ == In::kLongBasic ? '"' : '\'';
      const std::size_t num = quotes(quote);
      if (num >= 3) {  // up to two quotes may belong to the text before the closing three
        in_ = In::kPlain;
        at_ += std::min<std::size_t>(num, 5);
        return;
      }
    } else if (c == '\n' || (in_ == In::kBasic && c == '"') || (in_ == In::kLiteral && c == '\'')) {
      in_ = In::kPlain;
      if (c == '\n') dots_ = 0;
    }
    ++at_;
  }

 private:
  enum class In { kPlain, kComment, kBasic, kLiteral, kLongBasic, kLongLiteral };

  std::size_t quotes(char quote) const {
    const std::size_t end = text_.find_first_not_of(quote, at_);
    return (end == std::string_view::npos ? text_.size() : end) - at_;
  }

  void step_plain(char c) {
    if (c == '#') in_ = In::kComment;
    if (c == '"' || c == '\'') {
      const bool is_long = quotes(c) >= 3;
      in_ = c == '"' ? (is_long ? In::kLongBasic : In::kBasic)
                     : (is_long ? In::kLongLiteral : In::kLiteral);
      if (is_long) at_ += 2;
    }
    if (c == '[' || c == '{') ++brackets_;
    if (c == ']' || c == '}') brackets_ = std::max(0, brackets_ - 1);
    if (c == '.') ++dots_;
    if (std::string_view("[]{},=\n").find(c) != std::string_view::npos) dots_ = 0;
  }

  std::string_view text_;
  std::size_t at_ = 0;
  In in_ = In::kPlain;
  int brackets_ = 0;
  int dots_ = 0;
};

base::Status check_shape(std::string_view text, const std::string& file) {
  for (Walk walk(text); !walk.done(); walk.step()) {
    if (walk.plain() && beyond_ascii(text[walk.at()])) {
      return syntax(text, walk.at(), file,
                    "a character outside quotes that a file of this kind cannot hold",
                    "put texts in double quotes; write keys and numbers in plain letters");
    }
    if (walk.brackets() > kDeepestBrackets || walk.dots() >= kMostKeyParts) {
      return syntax(text, walk.at(), file, "lists, tables or keys are nested too deep",
                    "is this the right file?");
    }
  }
  return base::Done{};
}

// "Z", digits, "Q": the first of these that does not stand in the text.
std::string free_mark(std::string_view text) {
  std::set<int> taken;
  for (std::size_t at = text.find('Z'); at != std::string_view::npos; at = text.find('Z', at + 1)) {
    int number = 0;
    const char* first = text.data() + at + 1;
    const char* last = text.data() + std::min(text.size(), at + 1 + kMarkDigits);
    if (std::from_chars(first, last, number).ec == std::errc()) taken.insert(number);
  }
  int number = 0;
  while (taken.count(number) != 0) ++number;
  return fmt::format("Z{:0{}}Q", number, kMarkDigits);
}

}  // namespace

base::Result<GuardedToml> guard_toml(std::string_view text, const std::string& file) {
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  const bool all_ascii = std::none_of(text.begin(), text.end(), beyond_ascii);
  GuardedToml guarded;
  if (!all_ascii) guarded.mark = free_mark(text);
  for (std::size_t at = 0; at < text.size();) {
    const char32_t c = next_utf8(text, at);
    if (c == kNoCharacter) {
      return syntax(text, at, file, "the text is not in UTF-8", "save the file as UTF-8");
    }
    if (c < 0x80) {
      guarded.ascii += static_cast<char>(c);
    } else {
      guarded.ascii += fmt::format("{}{:0{}x}", guarded.mark, static_cast<unsigned>(c), kHexDigits);
    }
  }
  BIGHT_TRY(const base::Done shaped, check_shape(text, file));
  static_cast<void>(shaped);
  return guarded;
}

std::string unguarded(std::string_view ascii, const std::string& mark) {
  if (mark.empty()) return std::string(ascii);
  std::string out;
  while (true) {
    const std::size_t found = ascii.find(mark);
    if (found == std::string_view::npos) return out.append(ascii);
    out.append(ascii.substr(0, found));
    const std::string_view digits = ascii.substr(found + mark.size()).substr(0, kHexDigits);
    std::uint32_t c = 0;
    const auto read = std::from_chars(digits.data(), digits.data() + digits.size(), c, 16);
    // Only escapes written to look like the mark are anything else than a character.
    if (digits.size() == kHexDigits && read.ptr == digits.data() + kHexDigits && c >= 0x80 &&
        c <= 0x10FFFF && (c < 0xD800 || c > 0xDFFF)) {
      append_utf8(out, c);
      ascii.remove_prefix(found + mark.size() + kHexDigits);
    } else {
      out.append(mark);
      ascii.remove_prefix(found + mark.size());
    }
  }
}

}  // namespace bight::exchange

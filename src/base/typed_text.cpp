#include "base/typed_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdint>

namespace bight::base {

namespace {

using Kind = TypedToken::Kind;

constexpr std::size_t kLongest = 80;
constexpr int kWholeDigitsMost = 9;
constexpr int kDecimalsMost = 20;

struct Character {
  char32_t code = 0;  // 0xFFFD for bytes that are not UTF-8
  std::size_t bytes = 1;
};

constexpr char32_t kBroken = 0xFFFD;

Character character_at(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t i) { return static_cast<std::uint8_t>(text[i]); };
  const std::uint8_t lead = byte(at);
  if (lead < 0x80) return {lead, 1};
  const std::size_t bytes = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
  if (lead < 0xC2 || lead > 0xF4 || at + bytes > text.size()) return {kBroken, 1};
  char32_t code = lead & (0x7Fu >> bytes);
  for (std::size_t i = 1; i < bytes; ++i) {
    if ((byte(at + i) & 0xC0u) != 0x80u) return {kBroken, 1};
    code = (code << 6) | (byte(at + i) & 0x3Fu);
  }
  const bool overlong = (bytes == 3 && code < 0x800) || (bytes == 4 && code < 0x10000);
  const bool surrogate = code >= 0xD800 && code <= 0xDFFF;
  if (overlong || surrogate || code > 0x10FFFF) return {kBroken, 1};
  return {code, bytes};
}

bool is_space(char32_t code) {
  return code == ' ' || code == '\t' || code == 0xA0 || (code >= 0x2000 && code <= 0x200A) ||
         code == 0x202F;
}

bool is_digit(char32_t code) { return code >= '0' && code <= '9'; }
bool is_letter(char32_t code) {
  return (code >= 'a' && code <= 'z') || (code >= 'A' && code <= 'Z');
}

struct Mark {
  char32_t code;
  Kind kind;
};

// Unicode 15 names in the order written: quotation marks, primes, hyphens, minus, slashes.
constexpr std::array kMarks = {
    Mark{'.', Kind::kPoint},          Mark{',', Kind::kComma},
    Mark{'+', Kind::kPlus},           Mark{'\'', Kind::kPrime},
    Mark{0x2018, Kind::kPrime},       Mark{0x2019, Kind::kPrime},
    Mark{0x2032, Kind::kPrime},       Mark{'"', Kind::kDoublePrime},
    Mark{0x201C, Kind::kDoublePrime}, Mark{0x201D, Kind::kDoublePrime},
    Mark{0x2033, Kind::kDoublePrime}, Mark{'-', Kind::kHyphen},
    Mark{0x2010, Kind::kHyphen},      Mark{0x2011, Kind::kHyphen},
    Mark{0x2013, Kind::kHyphen},      Mark{0x2212, Kind::kHyphen},
    Mark{'/', Kind::kSlash},          Mark{0x2044, Kind::kSlash},
    Mark{0x00B0, Kind::kDegree},      Mark{0x00BA, Kind::kDegree},
};

struct Vulgar {
  char32_t code;
  unsigned num;
  unsigned den;
};

// Latin-1 Supplement and Number Forms blocks of Unicode.
constexpr std::array kVulgars = {
    Vulgar{0x00BC, 1, 4}, Vulgar{0x00BD, 1, 2},  Vulgar{0x00BE, 3, 4}, Vulgar{0x2150, 1, 7},
    Vulgar{0x2151, 1, 9}, Vulgar{0x2152, 1, 10}, Vulgar{0x2153, 1, 3}, Vulgar{0x2154, 2, 3},
    Vulgar{0x2155, 1, 5}, Vulgar{0x2156, 2, 5},  Vulgar{0x2157, 3, 5}, Vulgar{0x2158, 4, 5},
    Vulgar{0x2159, 1, 6}, Vulgar{0x215A, 5, 6},  Vulgar{0x215B, 1, 8}, Vulgar{0x215C, 3, 8},
    Vulgar{0x215D, 5, 8}, Vulgar{0x215E, 7, 8},
};

TypedToken token_of(char32_t code, std::string_view bytes) {
  TypedToken token;
  token.text = code == kBroken || code < 0x20 || code == 0x7F ? "?" : std::string(bytes);
  for (const Mark& mark : kMarks) {
    if (mark.code == code) token.kind = mark.kind;
  }
  for (const Vulgar& vulgar : kVulgars) {
    if (vulgar.code != code) continue;
    token.kind = Kind::kVulgar;
    token.num = vulgar.num;
    token.den = vulgar.den;
  }
  return token;
}

template <typename Belongs>
std::size_t run_end(std::string_view text, std::size_t at, Belongs belongs) {
  while (at < text.size() && belongs(static_cast<unsigned char>(text[at]))) ++at;
  return at;
}

}  // namespace

std::vector<TypedToken> tokenise(std::string_view text) {
  std::vector<TypedToken> tokens;
  tokens.reserve(std::min<std::size_t>(text.size(), 12));
  bool spaced = false;
  for (std::size_t at = 0; at < text.size();) {
    const Character character = character_at(text, at);
    if (is_space(character.code)) {
      spaced = true;
      at += character.bytes;
      continue;
    }
    TypedToken token;
    std::size_t end = at + character.bytes;
    if (is_digit(character.code)) {
      end = run_end(text, at, is_digit);
      token.kind = Kind::kDigits;
      token.text = text.substr(at, end - at);
    } else if (is_letter(character.code)) {
      end = run_end(text, at, is_letter);
      token.kind = Kind::kWord;
      token.text = text.substr(at, end - at);
      for (char& letter : token.text) {
        if (letter >= 'A' && letter <= 'Z') letter = static_cast<char>(letter - 'A' + 'a');
      }
    } else {
      token = token_of(character.code, text.substr(at, character.bytes));
    }
    token.spaced = spaced;
    spaced = false;
    tokens.push_back(std::move(token));
    at = end;
  }
  return tokens;
}

std::string as_typed(std::string_view text) {
  constexpr std::size_t kShown = 40;
  std::string shown = "'";
  for (std::size_t at = 0; at < text.size();) {
    const Character character = character_at(text, at);
    if (shown.size() + character.bytes > kShown) {
      shown += "...";
      break;
    }
    if (character.code == kBroken || character.code < 0x20 || character.code == 0x7F) {
      shown += '?';
    } else {
      shown += text.substr(at, character.bytes);
    }
    at += character.bytes;
  }
  return shown + "'";
}

TypedReader::TypedReader(std::string_view text, const TypedArea& area, DecimalMark mark)
    : text_(text), area_(area), mark_(mark) {
  if (text.size() <= kLongest) tokens_ = tokenise(text);
}

const TypedToken& TypedReader::peek(std::size_t ahead) const {
  static const TypedToken kEnd;
  return at_ + ahead < tokens_.size() ? tokens_[at_ + ahead] : kEnd;
}

std::optional<MistakenLetter> mistaken_letter(std::string_view text) {
  constexpr std::string_view kLetters = "OolISBZ";
  constexpr std::string_view kDigits = "0011582";
  const auto digit = [](char c) { return c >= '0' && c <= '9'; };
  const auto numeric = [&](char c) { return digit(c) || c == '.' || c == ','; };
  MistakenLetter found;
  found.meant = text;
  bool any = false;
  const bool has_digit = std::any_of(text.begin(), text.end(), digit);
  for (std::size_t at = 0; has_digit && at < text.size(); ++at) {
    const std::size_t which = kLetters.find(text[at]);
    if (which == std::string_view::npos) continue;
    const bool beside =
        (at > 0 && numeric(found.meant[at - 1])) || (at + 1 < text.size() && numeric(text[at + 1]));
    if (!beside) continue;
    if (!any) found.letter = text[at];
    any = true;
    found.meant[at] = kDigits[which];
  }
  if (!any) return std::nullopt;
  std::string_view rest = found.meant;
  for (const std::string_view unit : {"mm", "cm", "m", "in", "ft", "deg", "\"", "'", "°"}) {
    if (!rest.ends_with(unit)) continue;
    rest.remove_suffix(unit.size());
    break;
  }
  const bool number = std::all_of(rest.begin(), rest.end(), [&](char c) {
    return numeric(c) || c == '-' || c == '+' || c == ' ' || c == '/';
  });
  return number ? std::optional(found) : std::nullopt;
}

Failure TypedReader::fail(std::string_view code, std::string message, std::string remedy) const {
  if (code == area_.text || code.ends_with(".unit")) {
    if (const auto mistaken = mistaken_letter(text_)) {
      message =
          fmt::format("{} holds the letter {} where a digit belongs", typed(), mistaken->letter);
      remedy = fmt::format("write {}", mistaken->meant);
    }
  }
  return {std::string(code), "", std::move(message), std::move(remedy)};
}

Failure TypedReader::stray() const {
  if (done()) {
    return fail(area_.text, fmt::format("{} stops too early", typed()),
                "write the value out in full");
  }
  return fail(area_.text, fmt::format("'{}' does not belong in {}", peek().text, typed()),
              fmt::format("write one {} and its unit, nothing else", area_.name));
}

Status TypedReader::check() const {
  if (text_.size() > kLongest) {
    return fail(area_.text, fmt::format("{} is too long to be one {}", typed(), area_.name),
                fmt::format("write one {} in at most {} characters", area_.name, kLongest));
  }
  if (tokens_.empty()) return fail(area_.text, fmt::format("there is no {} here", area_.name), "");
  const Kind other = mark_ == DecimalMark::kComma ? Kind::kPoint : Kind::kComma;
  for (std::size_t i = 0; i < tokens_.size(); ++i) {
    if (tokens_[i].kind != other) continue;
    const bool after_digits = i > 0 && tokens_[i - 1].kind == Kind::kDigits && !tokens_[i].spaced;
    const bool before_digits =
        i + 1 < tokens_.size() && tokens_[i + 1].kind == Kind::kDigits && !tokens_[i + 1].spaced;
    // A full stop after an abbreviated unit is no decimal mark; a comma never stands anywhere.
    if (other == Kind::kPoint && !after_digits && !before_digits) continue;
    const std::string wrong = other == Kind::kComma ? "comma" : "point";
    const std::string right = other == Kind::kComma ? "point" : "comma";
    return fail(area_.comma, fmt::format("{} has a {} in it", typed(), wrong),
                fmt::format("the decimal mark is the {} ('{}'), and there are no thousands "
                            "separators",
                            right, mark_char()));
  }
  return Done{};
}

Result<bool> TypedReader::take_sign() {
  if (!is(Kind::kHyphen) && !is(Kind::kPlus)) return false;
  const bool minus = is(Kind::kHyphen);
  skip();
  if (done() || !tight()) {
    return fail(area_.text, fmt::format("the sign in {} stands alone", typed()),
                "write the sign against the number, such as -5");
  }
  return minus;
}

Result<TypedNumber> TypedReader::take_number() {
  const Kind mark = mark_ == DecimalMark::kComma ? Kind::kComma : Kind::kPoint;
  if (!is(Kind::kDigits) && !is(mark)) return stray();
  TypedNumber number;
  std::string digits;
  if (is(Kind::kDigits)) {
    digits = peek().text;
    number.whole_digits = static_cast<int>(digits.size());
    digits.erase(0, std::min(digits.find_first_not_of('0'), digits.size()));
    skip();
  }
  const std::size_t whole_digits = digits.size();
  if (is(mark) && (tight() || number.whole_digits == 0)) {
    skip();
    if (!is(Kind::kDigits) || !tight()) {
      return fail(area_.text, fmt::format("nothing follows the decimal mark in {}", typed()),
                  "write the decimals, or leave the mark out");
    }
    number.whole = false;
    digits += peek().text;
    skip();
    if (is(mark) && tight()) {
      return fail(area_.comma, fmt::format("{} has two decimal marks in one number", typed()),
                  fmt::format("write one '{}', and no thousands separators", mark_char()));
    }
  }
  const std::size_t decimals = digits.size() - whole_digits;
  if (whole_digits > kWholeDigitsMost || decimals > kDecimalsMost) {
    return fail(area_.range, fmt::format("{} has too many digits", typed()),
                fmt::format("write at most {} digits before the decimal mark and {} after it",
                            kWholeDigitsMost, kDecimalsMost));
  }
  for (const char digit : digits) {
    number.value.num = number.value.num * 10 + static_cast<unsigned>(digit - '0');
  }
  for (std::size_t i = 0; i < decimals; ++i) number.value.den *= 10;
  return number;
}

}  // namespace bight::base

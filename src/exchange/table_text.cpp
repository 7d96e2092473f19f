#include "exchange/table_text.h"

#include <algorithm>
#include <array>
#include <cstdint>

#include "exchange/utf8.h"

namespace bight::exchange {

using base::Failure;

namespace {

// Windows code page 1252, bytes 0x80 to 0x9F (the vendor's published table); the rest is Latin-1.
constexpr std::array<char16_t, 32> kWindows1252 = {
    0x20AC, 0xFFFD, 0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021, 0x02C6, 0x2030, 0x0160,
    0x2039, 0x0152, 0xFFFD, 0x017D, 0xFFFD, 0xFFFD, 0x2018, 0x2019, 0x201C, 0x201D, 0x2022,
    0x2013, 0x2014, 0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, 0xFFFD, 0x017E, 0x0178};

// One character as the tables want it.
void append_tidy(std::string& out, char32_t c) {
  const bool space =
      c == 0xA0 || (c >= 0x2000 && c <= 0x200A) || c == 0x202F || c == 0x205F || c == 0x3000;
  const bool minus = c == 0x2212 || (c >= 0x2010 && c <= 0x2014) || c == 0xFE63 || c == 0xFF0D;
  const bool none = c == 0xFEFF || (c >= 0x200B && c <= 0x200F) || c == 0x2060 || c == 0xAD;
  if (space) {
    out += ' ';
  } else if (minus) {
    out += '-';
  } else if (!none) {
    append_utf8(out, c);
  }
}

std::string from_utf16(std::string_view bytes, bool big_endian) {
  const auto unit = [&](std::size_t i) {
    const auto a = static_cast<unsigned char>(bytes[i]);
    const auto b = static_cast<unsigned char>(bytes[i + 1]);
    return static_cast<char32_t>(big_endian ? (a << 8) | b : (b << 8) | a);
  };
  std::string out;
  for (std::size_t i = 0; i + 1 < bytes.size(); i += 2) {
    char32_t c = unit(i);
    if (c >= 0xD800 && c < 0xDC00 && i + 3 < bytes.size()) {
      const char32_t low = unit(i + 2);
      if (low >= 0xDC00 && low < 0xE000) {
        c = 0x10000 + ((c - 0xD800) << 10) + (low - 0xDC00);
        i += 2;
      }
    }
    append_tidy(out, c >= 0xD800 && c < 0xE000 ? 0xFFFD : c);
  }
  return out;
}

// Tidy UTF-8, or nothing when the bytes are not UTF-8.
bool from_utf8(std::string_view bytes, std::string& out) {
  for (std::size_t at = 0; at < bytes.size();) {
    // Runs of ASCII are most of a table and need no look at each character.
    const std::size_t start = at;
    while (at < bytes.size() && static_cast<unsigned char>(bytes[at]) < 0x80) ++at;
    out.append(bytes, start, at - start);
    if (at == bytes.size()) break;
    const char32_t c = next_utf8(bytes, at);
    if (c == kNoCharacter) return false;
    append_tidy(out, c);
  }
  return true;
}

std::string from_windows_1252(std::string_view bytes) {
  std::string out;
  for (const char byte : bytes) {
    const auto c = static_cast<unsigned char>(byte);
    append_tidy(out, c >= 0x80 && c < 0xA0 ? kWindows1252[c - 0x80] : c);
  }
  return out;
}

void unify_line_ends(std::string& text) {
  if (text.find('\r') == std::string::npos) return;
  std::size_t to = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '\r') {
      if (i + 1 < text.size() && text[i + 1] == '\n') continue;
      text[to++] = '\n';
    } else {
      text[to++] = text[i];
    }
  }
  text.resize(to);
}

struct Fold {
  char32_t from;
  const char* to;
};

// Letters of the languages we read headings in, capital and small.
constexpr Fold kFolds[] = {
    {U'à', "a"},     {U'á', "a"},    {U'â', "a"},    {U'ä', "a"},   {U'ã', "a"},  {U'ą', "a"},
    {U'ç', "c"},     {U'ć', "c"},    {U'è', "e"},    {U'é', "e"},   {U'ê', "e"},  {U'ë', "e"},
    {U'ę', "e"},     {U'ì', "i"},    {U'í', "i"},    {U'î', "i"},   {U'ï', "i"},  {U'ł', "l"},
    {U'ñ', "n"},     {U'ń', "n"},    {U'ò', "o"},    {U'ó', "o"},   {U'ô', "o"},  {U'ö', "o"},
    {U'ś', "s"},     {U'ù', "u"},    {U'ú', "u"},    {U'û', "u"},   {U'ü', "u"},  {U'ź', "z"},
    {U'ż', "z"},     {U'À', "a"},    {U'Á', "a"},    {U'Â', "a"},   {U'Ä', "a"},  {U'Ã', "a"},
    {U'Ą', "a"},     {U'Ç', "c"},    {U'Ć', "c"},    {U'È', "e"},   {U'É', "e"},  {U'Ê', "e"},
    {U'Ë', "e"},     {U'Ę', "e"},    {U'Ì', "i"},    {U'Í', "i"},   {U'Î', "i"},  {U'Ï', "i"},
    {U'Ł', "l"},     {U'Ñ', "n"},    {U'Ń', "n"},    {U'Ò', "o"},   {U'Ó', "o"},  {U'Ô', "o"},
    {U'Ö', "o"},     {U'Ś', "s"},    {U'Ù', "u"},    {U'Ú', "u"},   {U'Û', "u"},  {U'Ü', "u"},
    {U'Ź', "z"},     {U'Ż', "z"},    {U'ß', "ss"},   {U'œ', "oe"},  {U'Œ', "oe"}, {U'°', " deg "},
    {U'º', " deg "}, {U'″', " in "}, {U'”', " in "}, {U'№', " no "}};

}  // namespace

base::Result<TidyText> tidy_text(std::string_view bytes, const std::string& file) {
  TidyText tidy;
  const bool little = bytes.starts_with("\xFF\xFE");
  const bool big = bytes.starts_with("\xFE\xFF");
  if (little || big) {
    tidy.encoding = Encoding::kUtf16;
    tidy.text = from_utf16(bytes.substr(2), big);
  } else {
    if (bytes.starts_with("\xEF\xBB\xBF")) bytes.remove_prefix(3);
    if (!from_utf8(bytes, tidy.text)) {
      tidy.encoding = Encoding::kWindows1252;
      tidy.text = from_windows_1252(bytes);
    }
  }
  if (tidy.text.find('\0') != std::string::npos) {
    return Failure{"table.binary", file, "this is no text: it holds zero bytes",
                   "save the table as CSV or text"};
  }
  unify_line_ends(tidy.text);
  if (tidy.text.find_first_not_of(" \t\n\v\f") == std::string::npos) {
    return Failure{"table.empty", file, "there is nothing in it",
                   "give a table with a heading and one row for each point or bend"};
  }
  return tidy;
}

std::string folded(std::string_view text) {
  std::string out;
  const auto put = [&](std::string_view piece) {
    for (const char c : piece) {
      if (c != ' ') {
        out += c;
      } else if (!out.empty() && out.back() != ' ') {
        out += ' ';
      }
    }
  };
  for (std::size_t at = 0; at < text.size();) {
    const char32_t c = next_utf8(text, at);
    if (c == kNoCharacter) {
      ++at;
      put(" ");
    } else if (c >= 'A' && c <= 'Z') {
      put(std::string(1, static_cast<char>(c - 'A' + 'a')));
    } else if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9')) {
      put(std::string(1, static_cast<char>(c)));
    } else if (c == '"') {
      put(" in ");
    } else if (c == '#') {
      put(" no ");
    } else {
      const Fold* const found = std::find_if(std::begin(kFolds), std::end(kFolds),
                                             [&](const Fold& fold) { return fold.from == c; });
      put(found != std::end(kFolds) ? found->to : " ");
    }
  }
  if (!out.empty() && out.back() == ' ') out.pop_back();
  return out;
}

}  // namespace bight::exchange

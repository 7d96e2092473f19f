#include "exchange/table_number.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

#include "base/angle_text.h"
#include "base/typed_text.h"
#include "exchange/table_text.h"
#include "exchange/table_words.h"

namespace bight::exchange {

using base::DecimalMark;
using base::Failure;

namespace {

bool digit(char c) { return c >= '0' && c <= '9'; }

// The cell without the spaces and marks that set off its thousands, where the groups are of three
// digits.
std::string without_thousands(std::string_view cell, DecimalMark mark) {
  const char other = mark == DecimalMark::kComma ? '.' : ',';
  std::string out;
  for (std::size_t i = 0; i < cell.size(); ++i) {
    const char c = cell[i];
    const bool between = i > 0 && digit(cell[i - 1]) && i + 3 < cell.size() && digit(cell[i + 1]) &&
                         digit(cell[i + 2]) && digit(cell[i + 3]) &&
                         (i + 4 >= cell.size() || !digit(cell[i + 4]));
    const bool after_mark = out.find(mark == DecimalMark::kComma ? ',' : '.') != std::string::npos;
    // "1 250" is one number; "1 1/2" and "12 125/128" are not taken for it.
    const bool fraction = c == ' ' && cell.find('/') != std::string_view::npos;
    if ((c == ' ' || c == other) && between && !after_mark && !fraction) continue;
    out += c;
  }
  return out;
}

// The plain number that fills the cell; nothing when something else stands in it.
std::optional<double> plain_number(std::string_view cell, DecimalMark mark) {
  char copy[40];
  if (cell.size() >= sizeof copy) return std::nullopt;
  std::size_t size = 0;
  for (const char c : cell) {
    const bool is_mark = c == (mark == DecimalMark::kComma ? ',' : '.');
    if (!digit(c) && !is_mark && c != '-' && c != '+') return std::nullopt;
    if (c == '+' && size == 0) continue;
    copy[size++] = is_mark ? '.' : c;
  }
  double value = 0.0;
  const auto [end, error] = std::from_chars(copy, copy + size, value);
  if (error != std::errc() || end != copy + size || size == 0 || !std::isfinite(value)) {
    return std::nullopt;
  }
  return value;
}

// Millimetres in a plain number of a unit that is not the millimetre, rounded once where the text
// allows it: 1.5 in are 38.1 mm, which 1.5 * 25.4 misses by the last digit.
base::Result<double> converted_mm(const std::string& text, double value, TableUnit unit,
                                  DecimalMark mark) {
  base::Result<double> exact =
      base::parse_length_mm(text + " " + std::string(word(unit)), {base::LengthUnit::kInch, mark});
  if (exact.ok()) return exact;
  switch (unit) {
    case TableUnit::kCentimetre:
      return value * 10.0;
    case TableUnit::kMetre:
      return value * 1000.0;
    case TableUnit::kInch:
      return value * 25.4;
    case TableUnit::kFoot:
      return value * 304.8;
    case TableUnit::kMillimetre:
    case TableUnit::kDegree:
    case TableUnit::kRadian:
      break;
  }
  return value;
}

// Exponents as spreadsheets write them: "1.2E+03", "0,5e-3".
bool exponent(std::string_view cell) {
  const std::size_t at = cell.find_first_of("eE");
  return at != std::string_view::npos && at > 0 && at + 1 < cell.size() &&
         (digit(cell[at - 1]) || cell[at - 1] == '.' || cell[at - 1] == ',') &&
         (digit(cell[at + 1]) || ((cell[at + 1] == '-' || cell[at + 1] == '+') &&
                                  at + 2 < cell.size() && digit(cell[at + 2])));
}

}  // namespace

MarkHint mark_hint(std::string_view cell) {
  std::size_t points = 0, commas = 0, last = 0, first = std::string_view::npos;
  for (std::size_t i = 0; i < cell.size(); ++i) {
    if (cell[i] != '.' && cell[i] != ',') continue;
    points += cell[i] == '.' ? 1u : 0u;
    commas += cell[i] == ',' ? 1u : 0u;
    first = std::min(first, i);
    last = i;
  }
  if (points + commas == 0 || !looks_numeric(cell)) return MarkHint::kNone;
  if (points > 0 && commas > 0) return cell[last] == '.' ? MarkHint::kPoint : MarkHint::kComma;
  const bool point = points > 0;
  if (points + commas > 1) return point ? MarkHint::kComma : MarkHint::kPoint;
  std::size_t before = 0;
  while (before < first && digit(cell[first - 1 - before])) ++before;
  std::size_t after = 0;
  while (last + 1 + after < cell.size() && digit(cell[last + 1 + after])) ++after;
  const bool zero = before > 0 && cell[first - before] == '0';
  if (after == 3 && before >= 1 && before <= 3 && !zero && !exponent(cell)) {
    return point ? MarkHint::kPoints3 : MarkHint::kCommas3;
  }
  return point ? MarkHint::kPoint : MarkHint::kComma;
}

base::Result<double> cell_length_mm(std::string_view cell, TableUnit unit, DecimalMark mark) {
  std::optional<double> plain = plain_number(cell, mark);
  std::string tidy;
  if (!plain) {
    tidy = without_thousands(cell, mark);
    plain = plain_number(tidy, mark);
  }
  if (!plain && exponent(tidy)) {
    BIGHT_TRY(const double value, base::parse_number(tidy, mark));
    plain = value;
  }
  if (!plain) {
    // A unit of its own, or a fraction: what is left goes by the rules for typed lengths.
    const bool inch = unit == TableUnit::kInch || unit == TableUnit::kFoot;
    return base::parse_length_mm(
        tidy, {inch ? base::LengthUnit::kInch : base::LengthUnit::kMillimetre, mark});
  }
  double length_mm = *plain;
  if (unit != TableUnit::kMillimetre) {
    BIGHT_TRY(length_mm, converted_mm(tidy.empty() ? std::string(cell) : tidy, *plain, unit, mark));
  }
  if (std::abs(length_mm) <= base::kLongestLength_mm) return length_mm;
  return Failure{"length.range", "",
                 fmt::format("{} is longer than anything in a workshop", base::as_typed(cell)),
                 "check the unit"};
}

base::Result<base::Angle> cell_angle(std::string_view cell, TableUnit unit, DecimalMark mark) {
  std::optional<double> plain = plain_number(cell, mark);
  std::string tidy(cell);
  if (!plain && exponent(tidy)) {
    BIGHT_TRY(const double value, base::parse_number(tidy, mark));
    plain = value;
  }
  if (!plain) return base::parse_angle(tidy, mark);
  if (std::abs(*plain) > base::kLargestAngle_deg) {
    return Failure{"angle.range", "", fmt::format("{} is no angle", base::as_typed(cell)),
                   "give degrees"};
  }
  return unit == TableUnit::kRadian ? base::Angle::radians(*plain) : base::Angle::degrees(*plain);
}

bool looks_numeric(std::string_view cell) {
  if (cell.empty()) return false;
  const bool begins =
      digit(cell[0]) ||
      ((cell[0] == '-' || cell[0] == '+' || cell[0] == '.' || cell[0] == ',') && cell.size() > 1 &&
       (digit(cell[1]) || cell[1] == '.' || cell[1] == ',' || cell[1] == ' '));
  if (!begins) {
    // A fraction written as one character, such as ½.
    return cell.starts_with("\xC2\xBC") || cell.starts_with("\xC2\xBD") ||
           cell.starts_with("\xC2\xBE");
  }
  if (std::all_of(cell.begin(), cell.end(), [](char c) {
        return digit(c) || c == '.' || c == ',' || c == '-' || c == '+' || c == ' ' || c == '/' ||
               c == '\'' || c == '"';
      })) {
    return true;
  }
  if (exponent(cell)) return true;
  // Digits followed by words: only if every word is a unit.
  const std::string words = folded(cell);
  std::string word;
  for (const char c : words + " ") {
    if (c != ' ' && !digit(c)) {
      word += c;
      continue;
    }
    if (!word.empty() && !unit_of_word(word) && word != "min" && word != "sec" && word != "d") {
      return false;
    }
    word.clear();
  }
  return true;
}

std::optional<TableUnit> own_unit(std::string_view cell) {
  if (cell.find('"') != std::string_view::npos) return TableUnit::kInch;
  if (cell.find('\'') != std::string_view::npos) return TableUnit::kFoot;
  const std::string words = folded(cell);
  std::size_t end = words.size();
  while (end > 0 && !digit(words[end - 1]) && words[end - 1] != ' ') --end;
  return unit_of_word(words.substr(end));
}

bool is_blank(std::string_view cell) {
  return std::all_of(cell.begin(), cell.end(), [](char c) { return c == '-' || c == ' '; });
}

}  // namespace bight::exchange

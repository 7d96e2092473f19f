#include "base/number.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>
#include <system_error>

#include "base/typed_text.h"

namespace bight::base {

namespace {

std::string_view trimmed(std::string_view text) {
  const auto first = text.find_first_not_of(" \t");
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

std::size_t skip_digits(std::string_view text, std::size_t at) {
  while (at < text.size() && text[at] >= '0' && text[at] <= '9') ++at;
  return at;
}

Failure not_a_number(std::string_view text) {
  if (const auto mistaken = mistaken_letter(text)) {
    return {"number.text", "",
            fmt::format("{} holds the letter {} where a digit belongs", as_typed(text),
                        mistaken->letter),
            fmt::format("write {}", mistaken->meant)};
  }
  return {"number.text", "", fmt::format("{} is not a number", as_typed(text)),
          "write digits and one decimal mark, such as 12.5"};
}

// Refuses what from_chars would let through: "5.", the other mark, "inf", "nan".
std::optional<Failure> fault_in(std::string_view text, char mark, char other_mark) {
  if (text.find(other_mark) != std::string_view::npos ||
      std::count(text.begin(), text.end(), mark) > 1) {
    return Failure{
        "number.comma", "", fmt::format("{} has a mark too many", as_typed(text)),
        fmt::format("the decimal mark is '{}', and there are no thousands separators", mark)};
  }
  std::size_t at = text.starts_with('-') || text.starts_with('+') ? 1 : 0;
  const std::size_t whole_end = skip_digits(text, at);
  bool digits = whole_end > at;
  at = whole_end;
  if (at < text.size() && text[at] == mark) {
    const std::size_t decimals_end = skip_digits(text, at + 1);
    if (decimals_end == at + 1) return not_a_number(text);
    digits = true;
    at = decimals_end;
  }
  if (!digits) return not_a_number(text);
  if (at < text.size() && (text[at] == 'e' || text[at] == 'E')) {
    ++at;
    if (at < text.size() && (text[at] == '-' || text[at] == '+')) ++at;
    const std::size_t exponent_end = skip_digits(text, at);
    if (exponent_end == at) return not_a_number(text);
    at = exponent_end;
  }
  if (at != text.size()) return not_a_number(text);
  return std::nullopt;
}

std::string with_mark(std::string text, DecimalMark mark) {
  if (mark == DecimalMark::kComma) std::replace(text.begin(), text.end(), '.', ',');
  return text;
}

}  // namespace

Result<double> parse_number(std::string_view text, DecimalMark mark) {
  const bool comma = mark == DecimalMark::kComma;
  const std::string_view number = trimmed(text);
  if (auto fault = fault_in(number, comma ? ',' : '.', comma ? '.' : ',')) return *fault;
  std::string plain(number.starts_with('+') ? number.substr(1) : number);
  if (comma) std::replace(plain.begin(), plain.end(), ',', '.');
  double value = 0.0;
  const auto read = std::from_chars(plain.data(), plain.data() + plain.size(), value);
  if (read.ec == std::errc::result_out_of_range || !std::isfinite(value)) {
    return Failure{"number.range", "",
                   fmt::format("{} is too large or too small to work with", as_typed(text)), ""};
  }
  if (read.ec != std::errc() || read.ptr != plain.data() + plain.size()) return not_a_number(text);
  return value == 0.0 ? 0.0 : value;
}

Result<std::int64_t> parse_whole_number(std::string_view text) {
  std::string_view number = trimmed(text);
  if (number.starts_with('+')) number.remove_prefix(1);
  const std::size_t first_digit = number.starts_with('-') && number.data() == trimmed(text).data();
  const bool whole =
      number.size() > first_digit && skip_digits(number, first_digit) == number.size();
  if (!whole) {
    return Failure{"number.text", "", fmt::format("{} is not a whole number", as_typed(text)),
                   "write digits only, such as 12"};
  }
  std::int64_t value = 0;
  const auto read = std::from_chars(number.data(), number.data() + number.size(), value);
  if (read.ec != std::errc()) {
    return Failure{"number.range", "", fmt::format("{} is too large to count", as_typed(text)), ""};
  }
  return value;
}

std::string print_number(double value, DecimalMark mark) {
  if (!std::isfinite(value)) return "?";
  if (value == 0.0) return "0";
  const double size = std::abs(value);
  const auto format =
      size >= 1e-6 && size < 1e15 ? std::chars_format::fixed : std::chars_format::scientific;
  char buffer[64];
  const auto written = std::to_chars(buffer, buffer + sizeof buffer, value, format);
  return with_mark(std::string(buffer, written.ptr), mark);
}

namespace {

// What is written to files has nine decimals; the same number is printed.
double as_written(double value, int decimals) {
  return decimals < 9 && std::abs(value) < 1e6 ? std::round(value * 1e9) / 1e9 : value;
}

// A hair further from zero where the value lies exactly between two that can be printed.
double off_the_half(double value, int decimals) {
  double power = 1.0;
  for (int i = 0; i < decimals; ++i) power *= 10.0;
  const double steps = value * power;
  const bool exact = std::fma(value, power, -steps) == 0.0;
  if (!exact || std::abs(steps - std::trunc(steps)) != 0.5) return value;
  return std::nextafter(value, std::copysign(HUGE_VAL, value));
}

}  // namespace

std::string print_decimal(double value, int decimals, DecimalMark mark) {
  if (!std::isfinite(value)) return "?";
  decimals = std::clamp(decimals, 0, 12);
  std::string text =
      fmt::format("{:.{}f}", off_the_half(as_written(value, decimals), decimals), decimals);
  if (text.starts_with('-') && text.find_first_not_of("-0.") == std::string::npos) text.erase(0, 1);
  return with_mark(std::move(text), mark);
}

}  // namespace bight::base

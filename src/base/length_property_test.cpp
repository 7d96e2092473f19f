// What is printed is read back; what is misspelt is refused or means what it says.
#include "base/length.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <array>
#include <cmath>
#include <cstdlib>
#include <optional>
#include <random>
#include <regex>
#include <string>

namespace bight::base {
namespace {

// ASCII for the marks that a keyboard writes in several ways; '~' stands on either side of a
// fraction that was one character.
std::string folded(std::string text) {
  struct Fold {
    const char* from;
    const char* to;
  };
  constexpr std::array kFolds = {
      Fold{"′", "'"},      Fold{"’", "'"},      Fold{"‘", "'"},      Fold{"″", "\""},
      Fold{"”", "\""},     Fold{"“", "\""},     Fold{"–", "-"},      Fold{"−", "-"},
      Fold{"⁄", "/"},      Fold{"\u2000", " "}, Fold{"\u2002", " "}, Fold{"\u2003", " "},
      Fold{"\u2009", " "}, Fold{"\u202F", " "}, Fold{"\u2010", "-"}, Fold{"\u2011", "-"},
      Fold{"\u00A0", " "}, Fold{"½", "~1/2~"},  Fold{"¼", "~1/4~"},  Fold{"¾", "~3/4~"},
      Fold{"⅛", "~1/8~"},  Fold{"⅝", "~5/8~"},  Fold{"⅓", "~1/3~"}};
  for (const Fold& fold : kFolds) {
    for (auto at = text.find(fold.from); at != std::string::npos; at = text.find(fold.from)) {
      text.replace(at, std::string(fold.from).size(), fold.to);
    }
  }
  return text;
}

double number_of(std::string digits) {
  for (char& c : digits) c = c == ',' ? '.' : c;
  return std::stod(digits);
}

// Inches of "1-1/2", "~1/2~", "3.5"; nan for a fraction that no rule shows.
double inches_of(const std::string& said) {
  static const std::regex kMixed("^(?:([0-9]+)(?:[ \\t]+|-|(?=~)))?~?([0-9]+)/([0-9]+)~?$");
  std::smatch part;
  if (!std::regex_match(said, part, kMixed)) return number_of(said);
  const double num = std::stod(part[2]);
  const double den = std::stod(part[3]);
  bool listed = false;
  for (const double allowed : {2.0, 4.0, 8.0, 16.0, 32.0, 64.0, 128.0}) listed |= den == allowed;
  if (!listed || num >= den) return std::nan("");
  return (part[1].matched ? std::stod(part[1]) : 0.0) + num / den;
}

// A second reader of lengths, sharing nothing with the first: the whole language as a few regular
// expressions over ASCII, evaluated in floating point.
class PatternReader {
 public:
  explicit PatternReader(bool comma) {
    const std::string mark = comma ? "," : "\\.";
    const std::string decimal = "((?:[0-9]+(?:" + mark + "[0-9]+)?|" + mark + "[0-9]+))";
    const std::string fraction = "(?:[0-9]+/[0-9]+|~[0-9]+/[0-9]+~)";
    const std::string amount = "([0-9]+(?:[ \\t]+|-|(?=~))" + fraction + "|" + fraction +
                               "|[0-9]+(?:" + mark + "[0-9]+)?|" + mark + "[0-9]+)";
    const std::string s = "[ \\t]*";
    const std::string inch = s + "(?:\"|inches|inch|in\\.(?=[ \\t]|$)|in)";
    const std::string foot = s + "(?:'|feet(?!\\.)|foot(?!\\.)|ft\\.(?=[ \\t]|$)|ft(?!\\.))";
    const auto whole = [&](const std::string& body) {
      return std::regex("^" + s + "([-+]?)" + body + s + "$", std::regex::icase);
    };
    metric_ = whole(decimal + s + "(mm|cm|m)");
    inches_ = whole(amount + inch);
    feet_ = whole(decimal + foot);
    feet_inches_ = whole("([0-9]+)" + foot + "(?:" + s + "|-)" + amount + inch);
    bare_ = whole(amount);
  }

  // Nothing when it knows no such length.
  std::optional<double> read_mm(const std::string& typed, bool inches_by_default) const {
    const std::string text = folded(typed);
    const bool has_fraction = text.find('/') != std::string::npos;
    std::smatch m;
    double size_mm = std::nan("");
    if (std::regex_match(text, m, metric_)) {
      const std::string unit = m[3];
      const bool milli = unit.size() == 2 && (unit[0] == 'm' || unit[0] == 'M');
      size_mm = number_of(m[2]) * (milli ? 1.0 : unit.size() == 2 ? 10.0 : 1000.0);
    } else if (std::regex_match(text, m, inches_)) {
      size_mm = inches_of(m[2]) * 25.4;
    } else if (std::regex_match(text, m, feet_)) {
      size_mm = number_of(m[2]) * 304.8;
    } else if (std::regex_match(text, m, feet_inches_)) {
      static const std::regex kTooManyDigits("^[0-9]{3,}(?!/|[0-9]).*");
      const double inches = inches_of(m[3]);
      const bool grouped = std::regex_match(m[3].str(), kTooManyDigits);
      if (inches < 12.0 && !grouped) size_mm = number_of(m[2]) * 304.8 + inches * 25.4;
    } else if (std::regex_match(text, m, bare_)) {
      if (inches_by_default) size_mm = inches_of(m[2]) * 25.4;
      if (!inches_by_default && !has_fraction) size_mm = number_of(m[2]);
    }
    if (!(size_mm <= 1e6)) return std::nullopt;
    return m[1] == "-" ? -size_mm : size_mm;
  }

 private:
  std::regex metric_, inches_, feet_, feet_inches_, bare_;
};

const std::array kValid = {"38.1",       "38.1 mm",  "12 cm",
                           "1.2 m",      "1.5\"",    "1.5 in",
                           "1-1/2 in",   "1 1/2\"",  "1½\"",
                           "3' 4-5/8\"", "3ft 4in",  "3'",
                           "3/4 in",     "-11'2\"",  "60 ft 1 in",
                           "10 3/8 IN.", "5' 3/4\"", "5'-6\"",
                           "3′ 4⅝″",     "1–1/2”",   "3 feet 4 inches",
                           "1 ½ inch",   "0.3 ft.",  "127/128\"",
                           "12,5 mm",    "3' 4,5\"", "5' 11 127/128\"",
                           "½",          ".25"};
const std::array kPieces = {"0", "1", "2", "3", "4",  "7",  "8",  "16", "000", ".",   ",",     "/",
                            "-", "+", " ", "'", "\"", "in", "ft", "mm", "m",   "c",   "e",     "½",
                            "⅓", "¾", "′", "″", "–",  "x",  "''", ". ", " .",  "1/2", "\u00A0"};

std::string misspelt(std::mt19937_64& random) {
  const auto below = [&](std::size_t bound) { return random() % bound; };
  std::string text = kValid[below(kValid.size())];
  for (std::size_t changes = below(5); changes > 0; --changes) {
    const std::size_t at = below(text.size() + 1);
    const std::size_t kind = below(3);
    // Bytes of a longer character stay together: half a mark could turn into another one.
    if (kind != 0 && at < text.size() && static_cast<unsigned char>(text[at]) < 0x80)
      text.erase(at, 1);
    if (kind != 1) text.insert(at, kPieces[below(kPieces.size())]);
  }
  return text;
}

// No silent misreading: whatever is accepted means the same to the second reader, and whatever the
// second reader knows is accepted.
TEST(LengthProperty, MisspeltLengthsAreNeverMisread) {
  const PatternReader point(false);
  const PatternReader comma(true);
  std::mt19937_64 random(20);
  int num_read = 0;
  const int num_strings = std::getenv("BIGHT_LONG_TESTS") ? 1'000'000 : 20'000;
  for (int i = 0; i < num_strings; ++i) {
    const std::string text = misspelt(random);
    const LengthRules rules{i % 2 ? LengthUnit::kInch : LengthUnit::kMillimetre,
                            i % 3 ? DecimalMark::kPoint : DecimalMark::kComma};
    const auto read = parse_length_mm(text, rules);
    const auto expected = (i % 3 ? point : comma).read_mm(text, i % 2);
    ASSERT_EQ(read.ok(), expected.has_value())
        << text << (read.ok() ? "" : " refused: " + read.failure().text());
    if (!read.ok()) continue;
    ASSERT_NEAR(*read, *expected, 1e-12 * std::abs(*expected)) << text;
    ++num_read;
  }
  // Otherwise the strings are too broken to prove anything.
  EXPECT_GT(num_read, num_strings / 5);
}

rc::Gen<double> any_length_mm() {
  return rc::gen::map(
      rc::gen::inRange<std::int64_t>(-10'000'000'000, 10'000'000'001),
      [](std::int64_t tenths_of_um) { return static_cast<double>(tenths_of_um) * 1e-4; });
}

RC_GTEST_PROP(LengthProperty, PrintedIsReadBackUpToTheRemainder, ()) {
  const double length_mm = *any_length_mm();
  LengthStyle style;
  style.unit = *rc::gen::element(LengthUnit::kMillimetre, LengthUnit::kInch);
  style.form = *rc::gen::element(LengthStyle::Form::kDecimal, LengthStyle::Form::kFraction);
  style.decimals = *rc::gen::inRange(0, 7);
  style.denominator = *rc::gen::element(1, 2, 4, 8, 16, 32, 64, 128);
  style.feet = *rc::gen::arbitrary<bool>();
  style.with_unit = *rc::gen::arbitrary<bool>();
  style.decimal_mark = *rc::gen::element(DecimalMark::kPoint, DecimalMark::kComma);
  const auto printed = print_length(length_mm, style);
  const auto read = parse_length_mm(printed.text, {style.unit, style.decimal_mark});
  RC_LOG() << printed.text << "\n";
  // At the very end of the range rounding may go beyond it: 1 km is 39370-3/32" to the next 1/32.
  if (std::abs(length_mm - printed.remainder_mm) > kLongestLength_mm) {
    RC_ASSERT(!read.ok());
    RC_ASSERT(read.failure().code == "length.range");
    return;
  }
  RC_ASSERT(read.ok());
  RC_ASSERT(std::abs(*read + printed.remainder_mm - length_mm) <= 1e-9);
  const bool inch = style.unit == LengthUnit::kInch;
  const double step_mm = inch && style.form == LengthStyle::Form::kFraction
                             ? 25.4 / style.denominator
                             : (inch ? 25.4 : 1.0) * std::pow(10.0, -style.decimals);
  RC_ASSERT(std::abs(printed.remainder_mm) <= step_mm / 2 + 1e-9);
}

// One rounding in all: the reader's double is the one nearest to the exact value, which a sum in
// floating point would miss now and then. The exact value is compared in whole numbers.
RC_GTEST_PROP(LengthProperty, FractionsAreRoundedOnce, ()) {
  const int feet = *rc::gen::inRange(0, 3000);
  const int inches = *rc::gen::inRange(0, 12);
  const int parts = *rc::gen::inRange(0, 128);
  const std::string text =
      std::to_string(feet) + "' " + std::to_string(inches) + "-" + std::to_string(parts) + "/128\"";
  const auto read = parse_length_mm(text);
  RC_ASSERT(read.ok());
  // length = k * 127 / 640 mm, k in 128ths of an inch: both below 2^53, so the quotient is nearest.
  const double k = (feet * 12.0 + inches) * 128.0 + parts;
  RC_ASSERT(*read == k * 127.0 / 640.0);
}

}  // namespace
}  // namespace bight::base

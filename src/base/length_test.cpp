#include "base/length.h"

#include <gtest/gtest.h>

#include <string>

namespace bight::base {
namespace {

constexpr LengthRules kInchRules{LengthUnit::kInch, DecimalMark::kPoint};
constexpr LengthRules kCommaRules{LengthUnit::kMillimetre, DecimalMark::kComma};

void expect_mm(std::string_view text, double length_mm, const LengthRules& rules = {}) {
  const auto read = parse_length_mm(text, rules);
  ASSERT_TRUE(read.ok()) << text << ": " << read.failure().text();
  EXPECT_DOUBLE_EQ(*read, length_mm) << text;
}

void expect_code(std::string_view text, std::string_view code, const LengthRules& rules = {}) {
  const auto read = parse_length_mm(text, rules);
  ASSERT_FALSE(read.ok()) << text << " was read as " << *read;
  EXPECT_EQ(read.failure().code, code) << text << ": " << read.failure().text();
  EXPECT_FALSE(read.failure().message.empty()) << text;
}

TEST(ParseLength, ReadsMetric) {
  expect_mm("38.1", 38.1);
  expect_mm(" 38.1 mm ", 38.1);
  expect_mm("38.1mm", 38.1);
  expect_mm("12 cm", 120.0);
  expect_mm("1.2 m", 1200.0);
  expect_mm("1.2 Metres", 1200.0);
  expect_mm(".5 MM", 0.5);
  expect_mm("+3 millimeters", 3.0);
  expect_mm("-7.25 mm", -7.25);
  expect_mm("0", 0.0);
}

// 1 in = 25.4 mm exactly (international yard and pound agreement, 1959).
TEST(ParseLength, ReadsInches) {
  expect_mm("1.5\"", 38.1);
  expect_mm("1.5 in", 38.1);
  expect_mm("1-1/2 in", 38.1);
  expect_mm("1 1/2\"", 38.1);
  expect_mm("1½\"", 38.1);
  expect_mm("1 ½ inches", 38.1);
  expect_mm("1-½ inch", 38.1);
  expect_mm("¾ in", 19.05);
  expect_mm("3/4 in", 19.05);
  expect_mm("127/128 in", 25.4 * 127 / 128);
  expect_mm("1–1/2”", 38.1);
  expect_mm("1⁄2″", 12.7);
  expect_mm("-3/8\"", -9.525);
}

TEST(ParseLength, ReadsFeetAndInches) {
  expect_mm("3' 4-5/8\"", 40.625 * 25.4);
  expect_mm("3'4 5/8\"", 40.625 * 25.4);
  expect_mm("3ft 4in", 40 * 25.4);
  expect_mm("3 feet 4 inches", 40 * 25.4);
  expect_mm("3 Foot", 36 * 25.4);
  expect_mm("3'", 914.4);
  expect_mm("3.5 ft", 1066.8);
  expect_mm("3′ 4⅝″", 40.625 * 25.4);
  expect_mm("3’ 4”", 40 * 25.4);
  expect_mm("5'-6\"", 66 * 25.4);
  expect_mm("5'-6 1/2\"", 66.5 * 25.4);
  expect_mm("5' 0\"", 60 * 25.4);
  expect_mm("5' 11.999\"", 71.999 * 25.4);
}

TEST(ParseLength, OneSignCountsForTheWhole) {
  expect_mm("-11'2\"", -134 * 25.4);
  expect_mm("−1-1/2\"", -38.1);
  expect_code("--3", "length.text");
  expect_code("- 3 mm", "length.text");
  expect_code("3' -4\"", "length.text");
  expect_code("3' - 4\"", "length.text");
  expect_code("-", "length.text");
}

// Each was misread, or could not be read, by some reader of lengths: a list of reports in public.
TEST(ParseLengthKnownTraps, FeetAndABareFractionKeepTheFeet) {
  expect_mm("5' 3/4\"", 60.75 * 25.4);
}
TEST(ParseLengthKnownTraps, InchesAfterFeetAreNotLost) { expect_mm("60 ft 1 in", 721 * 25.4); }
TEST(ParseLengthKnownTraps, TheSignReachesTheInches) { expect_mm("-11'2\"", -134 * 25.4); }
TEST(ParseLengthKnownTraps, AnApostropheIsNoDigitGroup) {
  expect_code("7'23", "length.unit");
  expect_code("7'23\"", "length.range");
  expect_code("1'000' 6\"", "length.unit");
  expect_code("1'000\"", "length.range");
  expect_code("1'000", "length.unit");
}
TEST(ParseLengthKnownTraps, AnAbbreviationMayEndInAPoint) {
  expect_mm("10 3/8 IN.", 10.375 * 25.4);
  expect_mm("5 ft. 6 in.", 66 * 25.4);
  expect_code("3 ft.4 in", "length.text");
}
TEST(ParseLengthKnownTraps, MarksStandForFeetAndInches) {
  expect_mm("5'", 60 * 25.4);
  expect_mm("5\"", 5 * 25.4);
  expect_mm("5'6\"", 66 * 25.4);
  expect_mm("5 ft 6 in", 66 * 25.4);
}
TEST(ParseLengthKnownTraps, SumsAreRefusedNotHalfRead) {
  expect_code("1' 2\" + 1/4\"", "length.text");
  expect_code("10 - 1/2 in", "length.text");
}
TEST(ParseLengthKnownTraps, ACommaIsNeverDropped) {
  expect_code("12,5 mm", "length.comma");
  expect_mm("12,5 mm", 12.5, kCommaRules);
}
TEST(ParseLengthKnownTraps, AMixedNumberIsNotAProduct) {
  expect_mm("6 3/8 in", 6.375 * 25.4);
  expect_mm("6-3/8 in", 6.375 * 25.4);
  expect_mm("-11 ft 2 in", -134 * 25.4);
}
TEST(ParseLengthKnownTraps, ThirdsAreRefusedWithAReason) {
  expect_code("1/3 in", "length.fraction");
  expect_code("1/3", "length.fraction");
  expect_code("⅓ in", "length.fraction");
}

TEST(ParseLength, RefusesTheOtherDecimalMark) {
  expect_code("38,1", "length.comma");
  expect_code("1,200 mm", "length.comma");
  expect_code("3 ft, 4 in", "length.comma");
  expect_code("38.1", "length.comma", kCommaRules);
  expect_code("1.234,5", "length.comma", kCommaRules);
  expect_code("1,234,5", "length.comma", kCommaRules);
  expect_code("1.2.3", "length.comma");
  expect_mm("3' 4,5\"", 40.5 * 25.4, kCommaRules);
  expect_mm("3 in.", 76.2, kCommaRules);
}

TEST(ParseLength, RefusesFractionsNoRuleShows) {
  expect_code("1/256 in", "length.fraction");
  expect_code("3/6 in", "length.fraction");
  expect_code("11/2 in", "length.fraction");  // 5-1/2, or 1 1/2 with the space lost?
  expect_code("8/8 in", "length.fraction");
  expect_code("1/0 in", "length.fraction");
  expect_code("1/1 in", "length.fraction");
  expect_code("1/2 mm", "length.fraction");
  expect_code("1/2 ft", "length.fraction");
  expect_code("1.5-1/2 in", "length.fraction");
  expect_code("1/2/4 in", "length.text");
  expect_code("1 / 2 in", "length.text");
  expect_code("1 1/ 2 in", "length.text");
}

TEST(ParseLength, AsksAboutABareFractionAmongMillimetres) {
  expect_code("1 1/2", "length.unit");
  expect_code("1½", "length.unit");
  expect_mm("1 1/2", 38.1, kInchRules);
  expect_mm("1½", 38.1, kInchRules);
  expect_mm("1.5", 38.1, kInchRules);
  expect_mm("38.1 mm", 38.1, kInchRules);
}

TEST(ParseLength, RefusesWhatIsNoLength) {
  for (const char* text :
       {"",    "   ",      "mm",        "nan",        "inf",       "NaN mm",   "infinity",
        "-",   ".",        "5.",        "5. mm",      "in",        "\"",       "'",
        "--",  "1e3",      "1.5E2 mm",  "1 200 mm",   "12 mm 3",   "12 mm mm", "4\" 3'",
        "5''", "3.5' 4\"", "1 m 20 cm", "3' 4\" 5\"", "½½\"",      "½ 1\"",    "1 .5 mm",
        "#3",  "\x80",     "3\xC2",     "3\n",        "1-1-1/2\"", "1--1/2\"", "10 3/8 in.5"}) {
    const auto read = parse_length_mm(text);
    ASSERT_FALSE(read.ok()) << text << " was read as " << *read;
    EXPECT_EQ(read.failure().code, "length.text") << text << ": " << read.failure().text();
  }
  expect_code(std::string(81, '1'), "length.text");
}

TEST(ParseLength, RefusesUnknownUnits) {
  expect_code("5 km", "length.unit");
  expect_code("0x1F", "length.unit");
  expect_code("5 furlongs", "length.unit");
  expect_code("5' 6", "length.unit");
  expect_code("5' 6 mm", "length.unit");
  expect_code("3' 4''", "length.unit");
}

TEST(ParseLength, RefusesAbsurdSizes) {
  expect_mm("1000 m", 1e6);
  expect_code("1000.001 m", "length.range");
  expect_code("9999999999", "length.range");
  expect_code("0.123456789012345678901", "length.range");
  expect_code("5' 12\"", "length.range");
}

TEST(ParseLength, SaysWhatWasTypedAndWhatWouldBeRight) {
  const auto read = parse_length_mm("12,5 mm");
  ASSERT_FALSE(read.ok());
  EXPECT_EQ(read.failure().text(),
            "'12,5 mm' has a comma in it (the decimal mark is the point ('.'), and there are no "
            "thousands separators)");
}

}  // namespace
}  // namespace bight::base
